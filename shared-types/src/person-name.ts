import * as v from 'valibot';
import { line } from './text.ts';

/**
 * Characters without a shape of their own, but the two joiners that Persian, Indic and other scripts write with:
 * soft hyphen, grapheme joiner, Hangul fillers, vowel separator, zero width space, direction marks, word joiner and
 * its kin, variation selectors, byte order mark, tags. Source: the Default_Ignorable_Code_Point property, Unicode. And the
 * Braille pattern without a dot, which counts as a symbol.
 */
const UNSEEN =
  /[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u200e\u200f\u2060-\u2065\u206a-\u206f\u2800\u3164\ufe00-\ufe0f\ufeff\uffa0\u{e0000}-\u{e0fff}]/u;

/** A sign that can be seen: a letter, a digit, punctuation or a symbol. */
const SEEN = /[\p{L}\p{N}\p{P}\p{S}]/u;

/**
 * NA-1: the name of a person is one line without characters that cannot be seen, and holds at least one that can. An
 * empty name is allowed here: a wall needs none.
 */
export const personName = (min: number, max: number) =>
  v.pipe(
    v.string(),
    v.check((s) => !UNSEEN.test(s), 'Remove characters that cannot be seen from the name.'),
    line(min, max),
    v.check((s) => s === '' || SEEN.test(s), 'Write a name that can be seen.'),
  );
