import { tQuantile } from './distributions.ts';

/** Mean difference of paired values, with its t interval over the pairs as a sample. */
export interface PairedDifference {
  n: number;
  mean: number;
  sd: number;
  /** Undefined when the differences do not vary. */
  t: number | undefined;
  limits: [number, number];
}

/** 95 % by default. Undefined with fewer than two pairs. */
export const pairedDifference = (
  pairs: readonly (readonly [number, number])[],
  level = 0.95,
): PairedDifference | undefined => {
  const n = pairs.length;
  if (n < 2) return undefined;
  const differences = pairs.map(([a, b]) => a - b);
  const mean = differences.reduce((sum, d) => sum + d, 0) / n;
  const sd = Math.sqrt(differences.reduce((sum, d) => sum + (d - mean) ** 2, 0) / (n - 1));
  const half = (tQuantile((1 + level) / 2, n - 1) * sd) / Math.sqrt(n);
  const t = sd > 0 ? (mean / sd) * Math.sqrt(n) : undefined;
  return { n, mean, sd, t, limits: [mean - half, mean + half] };
};

/**
 * Time with the equipment as a multiple of the time without: geometric mean of paired ratios, limits by t on
 * the logarithms. Undefined with fewer than two pairs or a time that is not positive. A trial that was not
 * completed has no time here: count it apart.
 */
export const timeRatio = (
  pairs: readonly { equipped: number; reference: number }[],
  level = 0.95,
): { n: number; ratio: number; limits: [number, number] } | undefined => {
  if (pairs.some(({ equipped, reference }) => !(equipped > 0) || !(reference > 0))) {
    return undefined;
  }
  const logs = pairedDifference(
    pairs.map(({ equipped, reference }) => [Math.log(equipped), Math.log(reference)] as const),
    level,
  );
  if (!logs) return undefined;
  const [lower, upper] = logs.limits;
  return { n: logs.n, ratio: Math.exp(logs.mean), limits: [Math.exp(lower), Math.exp(upper)] };
};
