import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { accessText } from '../../../web/src/words/de/access-sentences.ts';
import { entryText } from '../../../web/src/words/de/entry-sentences.ts';
import { paperText } from '../../../web/src/words/de/paper-sentences.ts';
import { planText } from '../../../web/src/words/de/plan-sentences.ts';
import { refusalText } from '../../../web/src/words/de/refusal-sentences.ts';
import { told } from '../../../web/src/words/de/refusals.ts';
import { seriesText } from '../../../web/src/words/de/series-sentences.ts';

const root = join(import.meta.dirname, '../../..');
/** What stands in quotes and is said to nobody: cells of a file, and the shape of a fault. */
const NO_SENTENCE = [
  'not applicable',
  'not observed',
  'Say why',
  'task, reviewer, rating, 7',
  ', fault, remedy: ',
  'an operator stands twice',
  'a condition stands twice',
  // Reasons, which have codes.
  'a plan needs a task, an operator and a trial',
  'the times of 7 must be above zero',
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
        'head-motion.ts',
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
      'a plan',
      planText,
      ['day-plan.ts', 'assign-orders.ts'].map((f) => `server/src/measures/${f}`),
      3,
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

/** Said to programs, or where no screen of ours sends such a thing. */
const NOT_AT_A_SCREEN = [
  'Say the length of the file in Upload-Length.',
  '"paper" is a4 or letter.',
  'Send 7.',
  'The request cannot be read.',
  'Send a command on the workspace.',
  'Send the text of the file.',
  'Send an acknowledgement function.',
];
/** Sentences with which a source refuses what was sent: given to the refusal itself, or thrown for it. */
const refusedIn = (folder: string): string[] =>
  readdirSync(join(root, 'server/src', folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts'))
    .flatMap((file) => {
      const source = readFileSync(join(root, 'server/src', folder, file), 'utf8');
      const literal = String.raw`\(\s*(?:'bad-input',\s*)?(?!'bad-input')('[^'\n]+'|\x60[^\x60]+\x60)`;
      return [
        ...source.matchAll(
          new RegExp(String.raw`(?:refused|reject)(?=\(\s*'bad-input')${literal}`, 'gu'),
        ),
        ...source.matchAll(new RegExp(`new Unfit${literal}`, 'gu')),
      ].map(([, said = '']) => said.slice(1, -1));
    })
    .map((said) =>
      said
        .replace(
          '${remedy}',
          said.includes('briefing')
            ? 'Read it again and acknowledge what stands there.'
            : 'Register each piece first, then choose two or more.',
        )
        .replace(
          '${where}',
          'Line 7, rating: the reviewer is missing. Write one person in one way.',
        )
        .replaceAll(/\$\{(?:[^{}]|\{[^{}]*\})*\}/gu, '7'),
    )
    .filter((said) => !said.endsWith(': 7') && !NOT_AT_A_SCREEN.includes(said));

describe('WD-8: what the server refuses as wrongly typed, chosen or sent, in German', () => {
  test('WD-8: every such sentence that somebody at a screen can bring about is said in other words', () => {
    const sentences = ['evaluation', 'protocol', 'http', 'flows', 'media', 'realtime'].flatMap(
      refusedIn,
    );
    expect(sentences.length).toBeGreaterThan(25);
    expect(sentences.filter((s) => refusalText(s) === null)).toEqual([]);
  });

  test('WD-8: a field and a file keep their names, the fault in them is said', async () => {
    expect(refusalText('"details.maker": Keep it to 80 characters.')).toBe(
      '„details.maker“: Bleiben Sie bei 80 Zeichen.',
    );
    expect(refusalText('The file cannot be read: more than 7 rows.')).toBe(
      'Die Datei ist nicht zu lesen: mehr als 7 Zeilen.',
    );
    expect(refusalText('Something nobody foresaw.')).toBeNull();
    const refused = { code: 'bad-input' } as const;
    expect(await told({ ...refused, message: 'Write your name.' })).toEqual([
      'Schreiben Sie Ihren Namen.',
      '',
    ]);
    expect(await told({ ...refused, message: 'Unforeseen.' })).toEqual([
      'An der Eingabe stimmt etwas nicht.',
      'Unforeseen.',
    ]);
  });
});
