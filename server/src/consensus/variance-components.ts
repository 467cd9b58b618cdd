import { meanSquares } from './mean-squares.ts';
import { reml } from './reml.ts';

/** Variance of the ratings by source, in squared scale points. */
export interface VarianceComponents {
  task: number;
  reviewer: number;
  residual: number;
}

type Cells = readonly (readonly (number | undefined)[])[];

/**
 * Expected-mean-squares estimates from a complete table; negative ones are returned as estimated.
 * Undefined with fewer than two tasks or reviewers. Source: Brennan, Generalizability Theory, 2001.
 */
export const componentsByMeanSquares = (
  rows: readonly (readonly number[])[],
): VarianceComponents | undefined => {
  const ms = meanSquares(rows);
  if (!ms) return undefined;
  return {
    task: (ms.msTasks - ms.msResidual) / ms.reviewers,
    reviewer: (ms.msReviewers - ms.msResidual) / ms.tasks,
    residual: ms.msResidual,
  };
};

/** REML estimates on the present cells, never negative. Undefined when the ratings do not vary. */
export const componentsByReml = (cells: Cells): VarianceComponents | undefined => {
  const y: number[] = [];
  const task: number[] = [];
  const reviewer: number[] = [];
  const taskLevel = new Map<number, number>();
  const reviewerLevel = new Map<number, number>();
  const level = (levels: Map<number, number>, key: number): number => {
    const known = levels.get(key) ?? levels.size;
    levels.set(key, known);
    return known;
  };
  cells.forEach((row, i) => {
    row.forEach((value, j) => {
      if (value === undefined) return;
      y.push(value);
      task.push(level(taskLevel, i));
      reviewer.push(level(reviewerLevel, j));
    });
  });
  // One reviewer or one task leaves its component without any information.
  if (taskLevel.size < 2 || reviewerLevel.size < 2) return undefined;
  if (y.length < taskLevel.size + reviewerLevel.size) return undefined;
  const fit = reml(y, [
    { levels: task, size: taskLevel.size },
    { levels: reviewer, size: reviewerLevel.size },
  ]);
  if (!fit) return undefined;
  return { task: fit.factors[0] ?? 0, reviewer: fit.factors[1] ?? 0, residual: fit.residual };
};
