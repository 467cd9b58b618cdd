import { figure, noFigure, type Figure } from './figure.ts';
import { mean, variance } from './mean.ts';
import { pointCount, type RatingScale } from './table.ts';

/** Variance of ratings spread evenly over all points: (A^2 - 1) / 12. */
export const uniformNull = (scale: RatingScale): number => (pointCount(scale) ** 2 - 1) / 12;

/** Variance (divisor m) of a panel split between the two ends: ((H - L) / 2)^2. */
export const maximumDissensus = (scale: RatingScale): number => ((scale.max - scale.min) / 2) ** 2;

/**
 * r_wg of one task: 1 - s^2 / (variance under a null), not truncated, so it may fall below zero.
 * Source: James, Demaree & Wolf 1984 (from memory); checked against R's multilevel.
 */
export const rWg = (
  values: readonly number[],
  scale: RatingScale,
  nullVariance = uniformNull(scale),
): Figure => {
  const s2 = variance(values);
  if (s2 === undefined) return noFigure('fewer than two ratings');
  return figure(1 - s2 / nullVariance);
};

/** r_wg with negative values taken as zero, as its authors print it. */
export const rWgTruncated = (
  values: readonly number[],
  scale: RatingScale,
  nullVariance = uniformNull(scale),
): Figure => {
  const raw = rWg(values, scale, nullVariance);
  return raw.ok ? figure(Math.max(0, raw.value)) : raw;
};

/**
 * r_wg(J) over J tasks of one section from their mean variance, negative values taken as zero by convention.
 * It rises with J by construction: never compare sections of different length with it.
 */
export const rWgJ = (rows: readonly (readonly number[])[], scale: RatingScale): Figure => {
  const variances = rows.map(variance).filter((x) => x !== undefined);
  const s2 = mean(variances);
  if (s2 === undefined) return noFigure('no task with two ratings');
  const share = s2 / uniformNull(scale);
  if (share >= 1) return figure(0);
  const j = variances.length;
  return figure((j * (1 - share)) / (j * (1 - share) + share));
};
