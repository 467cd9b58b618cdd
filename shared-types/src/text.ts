import * as v from 'valibot';
import { codePoints, DECISION_REASON_MIN, FORBIDDEN, seenLength } from './plain-text.ts';

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

/** A reason for a decision that binds the panel: settling, gating, withdrawing. */
export const decisionReason = text(DECISION_REASON_MIN, 2000);

/** A short reason: a corrected slip, a late rating, "not applicable". */
export const shortReason = text(3, 500);
