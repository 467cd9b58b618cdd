import * as v from 'valibot';

/**
 * TX-2: there is no minus zero. JSON and Yjs can both carry one, canonical JSON (RFC 8785, section 3.2.2.3) writes it
 * as 0: a value that reads back as another is refused where it comes in.
 */
const plainZero = v.check(
  (n: number) => !Object.is(n, -0),
  'Write zero as 0, without a minus sign.',
);

/** A finite number, never minus zero. */
export const finite = v.pipe(v.number(), v.finite(), plainZero);

/** A whole number, never minus zero. */
export const whole = v.pipe(v.number(), v.integer(), plainZero);
