import * as v from 'valibot';
import { seatId, sha256Hex } from './ids.ts';
import { role } from './roles.ts';
import { text } from './text.ts';

/** A reviewer's letter; null for everybody else. */
export const letter = v.nullable(v.pipe(v.string(), v.regex(/^[A-Z]{1,2}$/u)));

/** A seat taken by a person. The name stands outside the log; `nameHash` is SHA-256(salt || NFC name). */
export const seatTaken = v.strictObject({
  type: v.literal('seat-taken'),
  data: v.strictObject({ seat: seatId, role, letter, nameHash: sha256Hex }),
});
/** A moderator ended a seat. */
export const seatRevoked = v.strictObject({
  type: v.literal('seat-revoked'),
  data: v.strictObject({ seat: seatId, reason: text(1, 2000) }),
});
