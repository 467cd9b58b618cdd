import { tQuantile } from './distributions.ts';
import { figure, noFigure, type Figure } from './figure.ts';
import { mean, variance } from './mean.ts';

/** Two ends about a centre, not clipped to any scale. */
export interface TInterval {
  lower: number;
  upper: number;
}

/**
 * Student's t interval from one value a reviewer, k - 1 degrees of freedom, centred on `centre` (their mean
 * unless given: jackknife pseudo-values are centred on the estimate itself).
 * Two values have none: t with one degree of freedom is 12.7 and would span the scale. One has no spread.
 */
export const tInterval = (
  values: readonly number[],
  level = 0.95,
  centre = mean(values),
): Figure<TInterval> => {
  const k = values.length;
  if (centre === undefined || k === 0) return noFigure('no reviewer rated');
  if (k === 1) return noFigure('a single reviewer has no interval');
  if (k === 2) return noFigure('two reviewers are too few for an interval');
  const se = Math.sqrt((variance(values) ?? 0) / k);
  const half = tQuantile(0.5 + level / 2, k - 1) * se;
  return figure({ lower: centre - half, upper: centre + half });
};
