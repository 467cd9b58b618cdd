/** Robust mean and standard deviation of one task's ratings. */
export interface RobustLocation {
  mean: number;
  sd: number;
  iterations: number;
  /** True when more than half agree exactly: the value is the median and the deviation 0. */
  degenerate: boolean;
}

const medianOf = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length / 2;
  return ((sorted[Math.ceil(middle) - 1] ?? 0) + (sorted[Math.floor(middle)] ?? 0)) / 2;
};

/** 1.483 times the median absolute deviation from the median: a standard deviation that outliers cannot move. */
export const madE = (values: readonly number[]): number => {
  const centre = medianOf(values);
  return 1.483 * medianOf(values.map((x) => Math.abs(x - centre)));
};

/**
 * Algorithm A with the printed constants 1.483, 1.5 and 1.134, iterated to 1e-12 relative.
 * Undefined for fewer than three ratings; doubtful below about eight.
 * Source: ISO 13528 Annex C, ISO 5725-5.
 */
export const algorithmA = (values: readonly number[]): RobustLocation | undefined => {
  if (values.length < 3) return undefined;
  let mean = medianOf(values);
  let sd = madE(values);
  if (sd === 0) return { mean, sd, iterations: 0, degenerate: true };
  for (let iterations = 1; iterations <= 500; iterations++) {
    const delta = 1.5 * sd;
    const winsorised = values.map((x) => Math.min(mean + delta, Math.max(mean - delta, x)));
    const next = winsorised.reduce((sum, x) => sum + x, 0) / values.length;
    const squares = winsorised.reduce((sum, x) => sum + (x - next) ** 2, 0);
    const nextSd = 1.134 * Math.sqrt(squares / (values.length - 1));
    const still =
      Math.abs(next - mean) <= 1e-12 * Math.max(1, Math.abs(next)) &&
      Math.abs(nextSd - sd) <= 1e-12 * Math.max(1, nextSd);
    mean = next;
    sd = nextSd;
    if (still) return { mean, sd, iterations, degenerate: false };
  }
  return { mean, sd, iterations: 500, degenerate: false };
};

/** Standard uncertainty of a robust consensus of `count` ratings. Source: ISO 13528, 1.25 s / sqrt(p). */
export const consensusUncertainty = (sd: number, count: number): number =>
  (1.25 * sd) / Math.sqrt(count);

/** z' score: distance from the consensus in units of the target deviation and the consensus's uncertainty. */
export const zPrime = (
  value: number,
  consensus: number,
  sigma: number,
  uncertainty: number,
): number => (value - consensus) / Math.hypot(sigma, uncertainty);
