import * as v from 'valibot';

/** Every reason the server gives for not doing something. Closed: the screens have words for each. */
export const REJECTION_CODES = [
  // who
  'not-signed-in',
  'not-seated',
  'role-may-not',
  'interest-bars',
  'declare-first',
  'code-unknown',
  'too-many-tries',
  // when
  'not-started',
  'already-started',
  'round-sealed',
  'round-opened',
  'locked',
  'withdrawn',
  'frozen',
  'not-locked',
  'link-ended',
  'everyone-stopped',
  // what
  'bad-input',
  'unknown-task',
  'unknown-thing',
  'not-in-round',
  'off-scale',
  'not-settled',
  'already-settled',
  'no-ratings',
  'median-changed',
  'reason-required',
  'ratings-missing',
  'fit-check-missing',
  'nothing-to-decide',
  'already-decided',
  'cannot-gate',
  'round-limit',
  'not-ready-to-lock',
  'nobody-seated',
  'duplicate-command',
  'draft-changed',
  'protocol-faulty',
  'version-order',
  // machine
  'try-again',
  'read-only',
] as const;
export const rejectionCode = v.picklist(REJECTION_CODES);
export type RejectionCode = v.InferOutput<typeof rejectionCode>;

/** An expected refusal: a value, not an exception. `message` names the place and the remedy for a person. */
export const rejection = v.strictObject({
  code: rejectionCode,
  message: v.string(),
  /** Machine-readable particulars: the field, the missing seats, the open tasks. */
  detail: v.optional(v.record(v.string(), v.unknown())),
});
export type Rejection = v.InferOutput<typeof rejection>;

export const reject = (
  code: RejectionCode,
  message: string,
  detail?: Record<string, unknown>,
): Rejection => (detail ? { code, message, detail } : { code, message });

export type Outcome<T> = { ok: true; value: T } | { ok: false; rejection: Rejection };
export const done = <T>(value: T): Outcome<T> => ({ ok: true, value });
export const refused = (
  code: RejectionCode,
  message: string,
  detail?: Record<string, unknown>,
): { ok: false; rejection: Rejection } => ({ ok: false, rejection: reject(code, message, detail) });
