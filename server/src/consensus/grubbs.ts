import { tQuantile } from './distributions.ts';

/** Grubbs' statistic: largest distance from the mean in standard deviations. Undefined without spread. */
export const grubbs = (values: readonly number[]): number | undefined => {
  const n = values.length;
  if (n < 3) return undefined;
  const mean = values.reduce((sum, x) => sum + x, 0) / n;
  const sd = Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (n - 1));
  return sd > 0 ? Math.max(...values.map((x) => Math.abs(x - mean))) / sd : undefined;
};

/** Critical value for `count` values at level `alpha`, two-sided. Source: Grubbs 1969 (from memory), ISO 5725-2. */
export const grubbsCritical = (count: number, alpha: number): number => {
  const t = tQuantile(1 - alpha / (2 * count), count - 2);
  return ((count - 1) / Math.sqrt(count)) * Math.sqrt((t * t) / (count - 2 + t * t));
};
