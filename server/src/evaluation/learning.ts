import type { LearnedEvaluation, Shown } from '@unhindered/shared-types';
import { mean, variance } from '../consensus/mean.ts';
import { severity, type SeverityFit } from '../consensus/severity.ts';
import type { RatingTable } from '../consensus/table.ts';

/** One evaluation's ratings and settled values, and whose they are asked for; plain data for another thread. */
export interface LearningQuestion {
  table: RatingTable;
  /** Settled value of each task of the table, in its order. */
  settled: (number | null)[];
  seat: string;
}

/** What a reviewer learns of themselves from one evaluation. */
export type LearningAnswer = Pick<
  LearnedEvaluation,
  'n' | 'severity' | 'error' | 'spread' | 'panelSpread' | 'settled'
>;

const orWhy = (value: number | undefined, why: string): Shown =>
  value === undefined ? { why } : { value };

/** What is left of each rating in a column once the task and the habit are taken out. */
const residuals = (table: RatingTable, fit: SeverityFit, column: number): number[] =>
  table.cells.flatMap((row, task) => {
    const [x, fair, habit] = [row[column], fit.fair[task], fit.effects[column]];
    return x === undefined || fair === undefined || habit === undefined ? [] : [x - fair - habit];
  });

/** Distances from settled values: with sign, without, and the share within one step. */
export const againstSettled = (distances: readonly number[]): LearnedEvaluation['settled'] => {
  const none = 'no settled task was rated';
  const near = distances.filter((d) => Math.abs(d) <= 1 + 1e-12).length;
  return {
    n: distances.length,
    mean: orWhy(mean(distances), none),
    distance: orWhy(mean(distances.map(Math.abs)), none),
    withinOne: distances.length === 0 ? { why: none } : { value: near / distances.length },
  };
};

/**
 * LE-1: a reviewer's habit (severity), how evenly they apply it (the spread of what is left when task and habit are taken
 * out) and how far they stood from what was settled, from one evaluation's counted ratings. With fewer than three
 * ratings of one's own there is no spread.
 */
export const learnFrom = ({ table, settled, seat }: LearningQuestion): LearningAnswer => {
  const column = table.reviewers.indexOf(seat);
  const fit = severity(table.cells);
  const why = fit && fit.components > 1 ? 'not connected by common tasks' : 'too few ratings';
  const own = fit && column >= 0 ? residuals(table, fit, column) : [];
  const spread = own.length < 3 ? undefined : variance(own);
  const distances = table.cells.flatMap((row, task) => {
    const [x, value] = [column < 0 ? undefined : row[column], settled[task]];
    return x === undefined || value == null ? [] : [x - value];
  });
  return {
    n: table.cells.filter((row) => column >= 0 && row[column] !== undefined).length,
    severity: orWhy(column < 0 ? undefined : fit?.effects[column], why),
    error: orWhy(column < 0 ? undefined : fit?.effectErrors[column], 'no residual'),
    spread: orWhy(spread === undefined ? undefined : Math.sqrt(spread), 'fewer than three ratings'),
    panelSpread: orWhy(fit?.sigma, 'no residual'),
    settled: againstSettled(distances),
  };
};
