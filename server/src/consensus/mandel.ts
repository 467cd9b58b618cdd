import { quantileF, tQuantile } from './distributions.ts';

/** One task rated by several reviewers in several trials: consistency of means and of scatter. */
export interface MandelStatistics {
  /** (mean of the reviewer - mean of means) / standard deviation of means. Undefined without spread. */
  h: (number | undefined)[];
  /** Standard deviation within the reviewer / repeatability. Undefined without trial scatter. */
  k: (number | undefined)[];
  repeatability: number;
  sdOfMeans: number;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, x) => sum + x, 0) / values.length;
const variance = (values: readonly number[]): number => {
  const m = mean(values);
  return values.reduce((sum, x) => sum + (x - m) ** 2, 0) / (values.length - 1);
};

/**
 * Mandel's h and k for one task; `trials[reviewer]` holds that reviewer's repeated values, at least two each.
 * Undefined with fewer than three reviewers. Source: ISO 5725-2 and ASTM E691.
 */
export const mandel = (trials: readonly (readonly number[])[]): MandelStatistics | undefined => {
  if (trials.length < 3 || trials.some((t) => t.length < 2)) return undefined;
  const means = trials.map(mean);
  const centre = mean(means);
  const sdOfMeans = Math.sqrt(variance(means));
  const variances = trials.map(variance);
  const repeatability = Math.sqrt(mean(variances));
  return {
    h: means.map((m) => (sdOfMeans > 0 ? (m - centre) / sdOfMeans : undefined)),
    k: variances.map((v) => (repeatability > 0 ? Math.sqrt(v) / repeatability : undefined)),
    repeatability,
    sdOfMeans,
  };
};

/** Two-sided critical value of h for `reviewers` at level `alpha`. Bounded by (p-1)/sqrt(p). */
export const mandelHCritical = (reviewers: number, alpha: number): number => {
  const t = tQuantile(1 - alpha / 2, reviewers - 2);
  return ((reviewers - 1) * t) / Math.sqrt(reviewers * (t * t + reviewers - 2));
};

/** Critical value of k for `reviewers` with `trials` each at level `alpha`. */
export const mandelKCritical = (reviewers: number, trials: number, alpha: number): number => {
  const f = quantileF(1 - alpha, trials - 1, (reviewers - 1) * (trials - 1));
  return Math.sqrt(reviewers / (1 + (reviewers - 1) / f));
};
