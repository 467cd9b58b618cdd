import { mean } from './mean.ts';
import { median, quantile } from './quantile.ts';

/** Largest minus smallest rating. Undefined without ratings. */
export const range = (values: readonly number[]): number | undefined =>
  values.length === 0 ? undefined : Math.max(...values) - Math.min(...values);

/** Interquartile range, type-7 quantiles. */
export const interquartileRange = (values: readonly number[]): number | undefined => {
  const low = quantile(values, 0.25);
  const high = quantile(values, 0.75);
  return low === undefined || high === undefined ? undefined : high - low;
};

/** Mean absolute distance from a centre, in scale points. Undefined without values or centre. */
export const averageDistance = (
  values: readonly number[],
  centre: number | undefined,
): number | undefined =>
  centre === undefined ? undefined : mean(values.map((x) => Math.abs(x - centre)));

/** Average deviation from the median, in scale points. Source: Burke & Dunlap 2002 (AD index). */
export const adMedian = (values: readonly number[]): number | undefined =>
  averageDistance(values, median(values));

/** Average deviation from the mean, in scale points. */
export const adMean = (values: readonly number[]): number | undefined =>
  averageDistance(values, mean(values));

/**
 * Cut of the average deviation for a scale with `points` options: points / 6 (0.8, 1.2, 1.5, 1.8 for 5, 7, 9,
 * 11 as published, to one decimal). Source: Burke & Dunlap 2002.
 */
export const adCut = (points: number): number => points / 6;
