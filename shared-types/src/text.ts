import * as v from 'valibot';

/**
 * Control characters but tab and line feed (those of eight bits too: a terminal may obey them), direction overrides and
 * lone surrogates: never stored.
 */
const FORBIDDEN =
  /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/u;

const codePoints = (text: string): number => [...text].length;

/** Characters without a shape of their own, and the Braille pattern without a dot: nobody can read a reason of these. */
const UNSEEN = /[\p{Default_Ignorable_Code_Point}\u2800]/gu;

/** Code points of a text that somebody can see. */
export const seenLength = (text: string): number => codePoints(text.replace(UNSEEN, '').trim());

/** Line breaks of word processors and old machines. */
const OTHER_BREAKS = /\r\n?|[\u000b\u000c\u0085]/gu;

/**
 * TX-4: what was pasted, fit to be kept: other line breaks become line feeds, and what TX-1 forbids goes. A document
 * refuses it, and with it everything written after: so it never gets there.
 */
export const cleanText = (text: string): string =>
  text.replace(OTHER_BREAKS, '\n').replace(new RegExp(FORBIDDEN, 'gu'), '').normalize('NFC');

/**
 * TX-1: text from people is NFC, trimmed, counted in code points and free of control and direction
 * override characters. `min` and `max` are code points after trimming, and what cannot be seen does not count towards
 * `min`; line feeds are allowed.
 */
export const text = (min: number, max: number) =>
  v.pipe(
    v.string(),
    v.check((s) => !FORBIDDEN.test(s), 'Remove control or text-direction characters.'),
    v.transform((s) => s.normalize('NFC').trim()),
    v.check((s) => seenLength(s) >= min, `Write at least ${String(min)} characters.`),
    v.check((s) => codePoints(s) <= max, `Keep it to ${String(max)} characters.`),
  );

/** One line of text: as `text`, with runs of white space (line feeds included) folded to one space. */
export const line = (min: number, max: number) =>
  v.pipe(
    v.string(),
    v.transform((s) => s.replace(/\s+/gu, ' ')),
    text(min, max),
  );

/** Shortest written reason for a decision that binds the panel, in code points. */
export const DECISION_REASON_MIN = 20;

/** A reason for a decision that binds the panel: settling, gating, withdrawing. */
export const decisionReason = text(DECISION_REASON_MIN, 2000);

/** A short reason: a corrected slip, a late rating, "not applicable". */
export const shortReason = text(3, 500);
