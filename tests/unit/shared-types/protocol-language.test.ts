import { expect, test } from 'vitest';
import { languageOf } from '../../../shared-types/src/index.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };

const read = (language: Record<string, unknown>): ReturnType<typeof checkProtocol> =>
  checkProtocol(JSON.stringify({ ...defaultProtocol, ...language }));

test('WD-4: the words of a protocol are read out in its language, in English where it names none', () => {
  const of = (language: Record<string, unknown>): string => {
    const checked = read(language);
    return checked.ok ? languageOf(checked.protocol) : checked.faults.map((f) => f.place).join();
  };
  expect(of({})).toBe('en');
  expect(of({ language: 'de' })).toBe('de');
  expect(of({ language: 'German, please' })).toMatch(/^\/language/u);
  expect(languageOf({})).toBe('en');
});
