import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { accessText } from '../../../web/src/words/de/access-sentences.ts';
import { entryText } from '../../../web/src/words/de/entry-sentences.ts';
import { paperText } from '../../../web/src/words/de/paper-sentences.ts';
import { seriesText } from '../../../web/src/words/de/series-sentences.ts';

const root = join(import.meta.dirname, '../../..');
/** What stands in quotes and is said to nobody: cells of a file, and the shape of a fault. */
const NO_SENTENCE = [
  'not applicable',
  'not observed',
  'Say why',
  'task, reviewer, rating, 7',
  ', fault, remedy: ',
];
/** Sentences of sources, with `7` where each names something; words of one sign or one word are none. */
const sentencesOf = (...files: readonly string[]): string[] =>
  files
    .map((file) =>
      readFileSync(join(root, file), 'utf8').replaceAll(/^\s*(?:\/\/|\/?\*).*$/gmu, ''),
    )
    .flatMap((source) => [...source.matchAll(/'((?:[^'\\\n]|\\.)+)'|`([^`]+)`/gu)])
    .map(([, plain, named]) =>
      (plain ?? named ?? '').replaceAll(/\$\{(?:[^{}]|\{[^{}]*\})*\}/gu, '7'),
    )
    .filter(
      (text) =>
        /[a-z]{2}.* .*[a-z]{2}/u.test(text) &&
        !/^[<>(]|\.ts$/u.test(text) &&
        !NO_SENTENCE.includes(text),
    );

describe('WD-7: what the server says of what was typed and of files, in German', () => {
  test.each([
    [
      'a typed value',
      entryText,
      ['check-entry.ts', 'trial-fault.ts', 'trial.ts', 'text.ts'].map(
        (f) => `shared-types/src/${f}`,
      ),
      10,
    ],
    [
      'a series',
      seriesText,
      [
        'read-manikin.ts',
        'series-cells.ts',
        'series-table.ts',
        'series-gaps.ts',
        'orientation-columns.ts',
      ].map((f) => `server/src/measures/${f}`),
      15,
    ],
    [
      'a time to access',
      accessText,
      ['measures/access-figures.ts', 'evaluation/ladder-figures.ts'].map((f) => `server/src/${f}`),
      7,
    ],
    [
      'ratings from paper',
      paperText,
      ['paper-row.ts', 'paper-columns.ts', 'quoted-rows.ts', 'read-paper-list.ts'].map(
        (f) => `server/src/analysis/${f}`,
      ),
      20,
    ],
  ] as const)(
    'WD-7: every sentence about %s is said in other words',
    (_what, say, files, least) => {
      const sentences = sentencesOf(...files);
      expect(sentences.length).toBeGreaterThan(least);
      // What stands by code in the reasons, and the pieces of one sentence, have no full stop or no beginning.
      const whole =
        say === accessText
          ? sentences.filter((s) => /^[A-Z7][^:].*\.$/u.test(s) && !s.startsWith('7 of either'))
          : sentences;
      expect(whole.filter((s) => say(s) === s)).toEqual([]);
    },
  );

  test('WD-7: what a sentence names stays, with figures as German writes them', () => {
    expect(entryText('300.5 s is above 240 s, which cannot be')).toBe(
      '300,5 s ist über 240 s, das kann nicht sein',
    );
    expect(entryText('"9.O" is not understood')).toBe('„9.O“ ist nicht zu verstehen');
    expect(seriesText('line 12, column t (s)')).toBe('Zeile 12, Spalte t (s)');
    expect(paperText('Ada rates airway-open in line 4 too')).toBe(
      'Ada urteilt über airway-open auch in Zeile 4',
    );
    // Two pieces of one sentence in the source, so it is tried whole.
    expect(
      accessText(
        '3 trials of the least tried technique and 1 operator: with fewer than 8 of either, limits called 95 % cannot be trusted to hold the truth that often.',
      ),
    ).toMatch(/^3 Versuche .* und 1 durchführende Person: Bei weniger als 8 /u);
    expect(
      accessText(
        'No trial of cut: it counts as never giving access, so the figures are lower bounds.',
      ),
    ).toMatch(/^Kein Versuch mit cut: /u);
  });
});
