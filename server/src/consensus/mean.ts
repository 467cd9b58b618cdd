import { compensatedSum } from './compensated-sum.ts';

/**
 * Arithmetic mean by compensated summation. Never outside the values by a rounding: equal values give exactly
 * their value, so "no spread" can be told from a tiny one. Undefined without values.
 */
export const mean = (values: readonly number[]): number | undefined => {
  if (values.length === 0) return undefined;
  const raw = compensatedSum(values) / values.length;
  let least = Infinity;
  let most = -Infinity;
  for (const x of values) {
    if (x < least) least = x;
    if (x > most) most = x;
  }
  return Math.min(most, Math.max(least, raw));
};

/**
 * Sample variance (divisor n - 1): two passes, corrected for the rounding of the mean, so a common offset
 * costs no digits. Undefined below two values. Source: Chan, Golub & LeVeque 1983 (from memory).
 */
export const variance = (values: readonly number[]): number | undefined => {
  const centre = mean(values);
  if (centre === undefined || values.length < 2) return undefined;
  const distances = values.map((x) => x - centre);
  const squares = compensatedSum(distances.map((d) => d * d));
  const rest = compensatedSum(distances);
  return Math.max(0, squares - (rest * rest) / values.length) / (values.length - 1);
};
