import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { readReason, REASONS } from '../../../shared-types/src/index.ts';
import { reasonSentence as german } from '../../../web/src/words/de/all-reasons.ts';
import { reasonText as shown } from '../../../web/src/words/de/reasons.ts';
import { reasonSentence as english } from '../../../web/src/words/en/all-reasons.ts';

const server = join(import.meta.dirname, '../../../server/src');
const ROOMS = ['analysis', 'comparison', 'consensus', 'evaluation', 'measures'];
const sources = ROOMS.flatMap((room) =>
  readdirSync(join(server, room), { recursive: true, withFileTypes: true })
    .filter((f) => f.name.endsWith('.ts'))
    .map((f) => readFileSync(join(f.parentPath, f.name), 'utf8')),
);

/** Every sentence that a source gives as a reason, with what it names as `{}`. */
const given = sources.flatMap((source) =>
  [...source.matchAll(/noFigure\(\s*(?:'([^'\n]+)'|`([^`\n]+)`)/gu)].map(([, plain, named]) =>
    (plain ?? named ?? '').replace(/\$\{(?:[^{}]|\{[^{}]*\})*\}/gu, '{}'),
  ),
);

describe('reasons why a figure is not defined', () => {
  test('WD-5: every one that the server gives has a code', () => {
    expect(given.length).toBeGreaterThan(60);
    expect([...new Set(given)].filter((why) => !readReason(why.replace('{}', '7')))).toEqual([]);
  });

  test('WD-5: so has every reason why two evaluations are not compared', () => {
    const pairs = readFileSync(join(server, 'comparison/pairs.ts'), 'utf8');
    const said = [...pairs.matchAll(/'((?:Not comparable|No interval): [^']+)'/gu)].map(
      (m) => m[1],
    );
    expect(said).toHaveLength(4);
    expect(said.filter((why) => !readReason(why ?? ''))).toEqual([]);
  });

  test('WD-5: each code is read back from its sentence, with what it names', () => {
    for (const [code, sentence] of Object.entries(REASONS)) {
      const named = sentence.includes('{}') ? '7' : '';
      expect(readReason(sentence.replace('{}', '7')), sentence).toEqual({ code, named });
    }
    expect(readReason('something else')).toBeUndefined();
  });

  test('WD-5: in German each is another sentence that names the same; English stays as it is on record', () => {
    for (const sentence of Object.values(REASONS)) {
      const why = sentence.replace('{}', '§7§');
      expect(english(why)).toBe(why);
      expect(german(why)).not.toBe(why);
      if (sentence.includes('{}') && !sentence.startsWith('It is'))
        expect(german(why)).toContain('§7§');
    }
    expect(german('fewer than two ratings')).toBe('weniger als zwei Urteile');
    expect(german('fewer than 10 tasks with two ratings')).toBe(
      'weniger als 10 Aufgaben mit zwei Urteilen',
    );
    expect(german('something else')).toBe('something else');
  });

  test('WD-5: the German sentences come a moment after the screen', async () => {
    await expect.poll(() => shown('no rating')).toBe('kein Urteil');
  });
});
