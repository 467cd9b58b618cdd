import { figure, noFigure, type Figure } from './figure.ts';
import { mean, variance } from './mean.ts';
import { pointCount, type RatingScale } from './table.ts';

/**
 * a_wg of one task: 1 - 2 s^2 / [((H + L) M - M^2 - H L) m / (m - 1)]. Defined only for means inside
 * [(L(m-1)+H)/m, (H(m-1)+L)/m]; nearer an end of the scale the divisor tends to zero.
 * Source: Brown & Hauenstein 2005 (from memory); checked against R's multilevel.
 */
export const aWg = (values: readonly number[], scale: RatingScale): Figure => {
  const m = values.length;
  const centre = mean(values);
  const s2 = variance(values);
  if (centre === undefined || s2 === undefined) return noFigure('fewer than two ratings');
  const { min: low, max: high } = scale;
  const inside =
    centre >= (low * (m - 1) + high) / m - 1e-12 && centre <= (high * (m - 1) + low) / m + 1e-12;
  if (!inside) return noFigure('the mean lies too near an end of the scale');
  const most = (((high + low) * centre - centre * centre - high * low) * m) / (m - 1);
  return figure(1 - (2 * s2) / most);
};

/**
 * r_wg of one task against the uniform null, (A^2 - 1) / 12: not truncated, so it may fall below zero.
 * Source: James, Demaree & Wolf 1984 (from memory); checked against R's multilevel.
 */
export const rWg = (values: readonly number[], scale: RatingScale): Figure => {
  const s2 = variance(values);
  if (s2 === undefined) return noFigure('fewer than two ratings');
  const points = pointCount(scale);
  return figure(1 - s2 / ((points * points - 1) / 12));
};

/**
 * r_wg(J) over J tasks of one section from their mean variance, negative values taken as zero by convention.
 * It rises with J by construction: never compare sections of different length with it.
 */
export const rWgJ = (rows: readonly (readonly number[])[], scale: RatingScale): Figure => {
  const variances = rows.map(variance).filter((x) => x !== undefined);
  const s2 = mean(variances);
  if (s2 === undefined) return noFigure('no task with two ratings');
  const points = pointCount(scale);
  const share = s2 / ((points * points - 1) / 12);
  const j = variances.length;
  const value = (j * (1 - share)) / (j * (1 - share) + share);
  return figure(share > 1 ? 0 : value);
};
