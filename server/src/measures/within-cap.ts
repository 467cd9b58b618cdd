import { roundHalfUp, type ParsedEntry } from '@unhindered/shared-types';

/**
 * ME-3: whether something was done within `cap` seconds. Done at the cap, to the tenth, counts as done; not done at
 * the cap is a failure, whatever the clock says; not done when the trial ended before the cap tells nothing.
 */
export const withinCap = (
  time: Pick<ParsedEntry, 'value' | 'censored'>,
  cap: number,
): 'done' | 'not-done' | 'unknown' => {
  const tenths = Number(roundHalfUp(time.value, 1));
  if (!time.censored) return tenths <= cap ? 'done' : 'not-done';
  return tenths >= cap ? 'not-done' : 'unknown';
};
