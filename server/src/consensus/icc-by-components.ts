import { figure, noFigure, type Figure } from './figure.ts';
import { present, type RatingCells } from './table.ts';
import type { VarianceComponents } from './variance-components.ts';

/** Intraclass correlations from variance components: usable on tables with absent cells. */
export interface ComponentIcc {
  agreementSingle: number;
  agreementAverage: number;
  consistencySingle: number;
  consistencyAverage: number;
  /** Harmonic mean of the ratings a task has: the number of reviewers the averages stand for. */
  reviewers: number;
}

/**
 * A,1 = t / (t + r + e) and C,1 = t / (t + e); averages divide the error by the harmonic mean of the ratings
 * a task has. Undefined when nothing varies. Source: McGraw & Wong 1996 (from memory), with components by
 * REML; equals the analysis-of-variance forms on a complete table with positive components.
 */
export const iccByComponents = (
  cells: RatingCells,
  { task, reviewer, residual }: VarianceComponents,
): Figure<ComponentIcc> => {
  const counts = cells.map((row) => present(row).length).filter((n) => n > 0);
  const reviewers = counts.length / counts.reduce((sum, n) => sum + 1 / n, 0);
  if (!(task + residual > 0)) return noFigure('no variation: every rating is the same');
  return figure({
    agreementSingle: task / (task + reviewer + residual),
    agreementAverage: task / (task + (reviewer + residual) / reviewers),
    consistencySingle: task / (task + residual),
    consistencyAverage: task / (task + residual / reviewers),
    reviewers,
  });
};
