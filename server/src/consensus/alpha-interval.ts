import { figure, noFigure, type Figure } from './figure.ts';
import { krippendorffAlpha, type AlphaMetric } from './krippendorff-alpha.ts';
import { quantile } from './quantile.ts';
import { present } from './table.ts';

/** A percentile interval and how many replicates had no variation and were left out. */
export interface ResampledInterval {
  lower: number;
  upper: number;
  replicates: number;
  discarded: number;
}

/** Fewest tasks that may stand for all tasks. */
export const MIN_TASKS = 8;

/**
 * Interval of alpha by drawing tasks with replacement, the same reviewers throughout; the ordinal metric is
 * taken anew in each replicate. `random` gives numbers in [0, 1). Undefined below eight tasks.
 */
export const alphaInterval = (
  cells: readonly (readonly (number | undefined)[])[],
  metric: AlphaMetric,
  random: () => number,
  replicates = 2000,
): Figure<ResampledInterval> => {
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
