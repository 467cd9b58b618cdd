import { figure, noFigure, type Figure } from './figure.ts';
import { krippendorffAlpha, type AlphaMetric } from './krippendorff-alpha.ts';
import { quantile } from './quantile.ts';
import { present, type RatingCells } from './table.ts';

/** A percentile interval and how many replicates had no variation and were left out. */
export interface ResampledInterval {
  lower: number;
  upper: number;
  replicates: number;
  discarded: number;
}

/** Fewest tasks that may stand for all tasks. */
export const MIN_TASKS = 8;

/** Fewest replicates: with fewer the ends of the interval move visibly from one run to the next. */
export const MIN_REPLICATES = 2000;

/**
 * 95 % interval of alpha by drawing tasks with replacement, the same reviewers throughout; the ordinal metric
 * is taken anew in each replicate. `random` gives numbers in [0, 1); the same numbers give the same interval.
 * Undefined below eight tasks with two ratings. Throws below 2000 replicates.
 */
export const alphaInterval = (
  cells: RatingCells,
  metric: AlphaMetric,
  random: () => number,
  replicates = MIN_REPLICATES,
): Figure<ResampledInterval> => {
  if (replicates < MIN_REPLICATES) throw new RangeError('too few replicates for an interval');
  const units = cells.filter((row) => present(row).length >= 2);
  if (units.length < MIN_TASKS) {
    return noFigure(`fewer than ${String(MIN_TASKS)} tasks with two ratings`);
  }
  const values: number[] = [];
  for (let i = 0; i < replicates; i++) {
    const drawn = units.map(() => units[Math.floor(random() * units.length)] ?? []);
    const alpha = krippendorffAlpha(drawn, metric);
    if (alpha.ok) values.push(alpha.value);
  }
  const lower = quantile(values, 0.025);
  const upper = quantile(values, 0.975);
  if (lower === undefined || upper === undefined) return noFigure('no replicate varied');
  return figure({ lower, upper, replicates, discarded: replicates - values.length });
};
