import { roundHalfUp } from '@unhindered/shared-types';
import { rounded } from './number.ts';

/** Seconds to the tenth; from a minute on as m:ss.s. Halves away from zero, decided once, so 59.95 is 1:00.0. */
export const durationText = (seconds: number): string => {
  const tenths = Number(roundHalfUp(Math.max(0, seconds), 1));
  if (tenths < 60) return `${rounded(tenths, 1)} s`;
  const minutes = Math.floor(tenths / 60);
  const rest = rounded(tenths - 60 * minutes, 1);
  return `${String(minutes)}:${rest.padStart(4, '0')}`;
};
