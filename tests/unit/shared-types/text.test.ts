import fc from 'fast-check';
import * as v from 'valibot';
import { expect, test } from 'vitest';
import {
  cleanText,
  decisionReason,
  seenLength,
  SHEET_FIELDS,
  text,
} from '../../../shared-types/src/index.ts';
import { personName } from '../../../shared-types/src/person-name.ts';

test('TX-1: a reason that nobody can read is none', () => {
  const written = 'The jaw could not be reached with the mask on.';
  expect(v.is(decisionReason, written)).toBe(true);
  // Zero width space, Hangul filler, Braille without a dot, soft hyphen, variation selector.
  for (const unseen of ['\u200b', '\u3164', '\u2800', '\u00ad', '\ufe0f']) {
    expect(v.is(decisionReason, unseen.repeat(30)), unseen).toBe(false);
    expect(v.is(decisionReason, `short${unseen.repeat(30)}`), unseen).toBe(false);
  }
  // What joins signs of Persian or of a family is part of the writing, and stays.
  expect(v.parse(text(1, 20), 'می\u200cخواهم')).toBe('می\u200cخواهم');
});

test('TX-1: no character that a terminal may obey is kept', () => {
  for (let code = 0; code < 0xa0; code++) {
    if (code === 9 || code === 10 || (code >= 0x20 && code < 0x7f)) continue;
    const sign = String.fromCodePoint(code);
    expect(v.is(text(1, 20), `a${sign}b`), code.toString(16)).toBe(false);
  }
});

test('NA-1: a Braille pattern without a dot is no name', () => {
  expect(v.is(personName(1, 80), '\u2800')).toBe(false);
});

test('TX-4: what is pasted is made fit for a sheet, and loses nothing that can be seen', () => {
  expect(cleanText('one\u000btwo\r\nthree\rfour\u0085five')).toBe('one\ntwo\nthree\nfour\nfive');
  expect(cleanText('\u2068Zoe\u2069 said \u202bno\u202c')).toBe('Zoe said no');
  expect(cleanText('cut \ud83d in half')).toBe('cut  in half');
  expect(cleanText('👩‍👩‍👧 می‌خواهم')).toBe('👩‍👩‍👧 می‌خواهم');
});

test('TX-4: whatever is typed or pasted, a sheet takes what is made of it', () => {
  const anything = fc.string({
    unit: fc.integer({ min: 0, max: 0xffff }).map((c) => String.fromCharCode(c)),
    maxLength: 60,
  });
  fc.assert(
    fc.property(anything, (typed) => {
      const clean = cleanText(typed).trim();
      return seenLength(clean) === 0 || v.is(SHEET_FIELDS.note, clean);
    }),
    { numRuns: 2000 },
  );
});
