import { figure, noFigure, type Figure } from './figure.ts';
import { mean } from './mean.ts';
import { range } from './spread.ts';
import { present } from './table.ts';

/** Agreement between pairs of reviewers on the same task, within a tolerance in scale points. */
export interface PairAgreement {
  /** Share of all pairs that agree. */
  pooled: number;
  /** Mean over tasks of the task's share of agreeing pairs. */
  meanOverTasks: number;
  /** Share of tasks whose whole range lies within the tolerance. */
  tasksWithin: number;
  pairs: number;
}

/** Undefined without a task rated twice. `tolerance` 0 asks for the same step. */
export const pairAgreement = (
  cells: readonly (readonly (number | undefined)[])[],
  tolerance: number,
): Figure<PairAgreement> => {
  const rows = cells.map(present).filter((row) => row.length >= 2);
  if (rows.length === 0) return noFigure('no task with two ratings');
  const counts = rows.map((row) => {
    // In ascending order the ratings that agree with the one at `high` and lie below it stand together.
    const sorted = new Float64Array(row).sort();
    let agreeing = 0;
    let low = 0;
    sorted.forEach((b, high) => {
      while (b - (sorted[low] ?? b) > tolerance + 1e-12) low++;
      agreeing += high - low;
    });
    return { agreeing, pairs: (row.length * (row.length - 1)) / 2 };
  });
  const pairs = counts.reduce((sum, c) => sum + c.pairs, 0);
  return figure({
    pooled: counts.reduce((sum, c) => sum + c.agreeing, 0) / pairs,
    meanOverTasks: mean(counts.map((c) => c.agreeing / c.pairs)) ?? 0,
    tasksWithin: rows.filter((row) => (range(row) ?? 0) <= tolerance + 1e-12).length / rows.length,
    pairs,
  });
};
