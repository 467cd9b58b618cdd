import { agreementWeights, type WeightScheme } from './agreement-weights.ts';
import { compensatedSum } from './compensated-sum.ts';
import { figure, noFigure, type Figure } from './figure.ts';
import { mean } from './mean.ts';
import { present, type RatingCells } from './table.ts';

/** One task with at least one rating. */
export interface RatedTask {
  /** Share of the task's ratings on each point of the scale. */
  shares: number[];
  ratings: number;
  /** Weighted share of agreeing pairs; undefined with a single rating. */
  agreement: number | undefined;
}

/** What every chance-corrected coefficient of this family starts from. */
export interface ObservedAgreement {
  tasks: RatedTask[];
  weights: number[][];
  /** Sum of all weights. */
  totalWeight: number;
  /** Mean over tasks of the share of ratings on each point. */
  prevalence: number[];
  /** Mean agreement over the tasks with two ratings or more. */
  observed: number;
}

const agreementOf = (counts: readonly number[], weights: readonly number[][]): number => {
  const ratings = compensatedSum(counts);
  const agreeing = counts.map((n, k) => {
    const like = compensatedSum(counts.map((m, l) => (weights[k]?.[l] ?? 0) * m));
    return n * (like - 1);
  });
  return compensatedSum(agreeing) / (ratings * (ratings - 1));
};

/**
 * Pairwise agreement within tasks on the given scale points (ascending, used or not), absent cells allowed.
 * Undefined without a task rated twice, or with a rating between the points (a settled half point).
 * Source: Gwet 2014, chapter 3.
 */
export const observedAgreement = (
  cells: RatingCells,
  points: readonly number[],
  scheme: WeightScheme,
): Figure<ObservedAgreement> => {
  const weights = agreementWeights(points.length, scheme);
  const index = new Map(points.map((p, k) => [p, k]));
  const rows = cells.map(present).filter((row) => row.length > 0);
  if (rows.some((row) => row.some((x) => !index.has(x)))) {
    return noFigure('a rating lies between the points of the scale');
  }
  const tasks = rows.map((row): RatedTask => {
    const counts = points.map((p) => row.filter((x) => x === p).length);
    return {
      shares: counts.map((n) => n / row.length),
      ratings: row.length,
      agreement: row.length < 2 ? undefined : agreementOf(counts, weights),
    };
  });
  const observed = mean(tasks.flatMap((t) => (t.agreement === undefined ? [] : [t.agreement])));
  if (observed === undefined) return noFigure('no task with two ratings');
  return figure({
    tasks,
    weights,
    totalWeight: compensatedSum(weights.flat()),
    prevalence: points.map((_, k) => mean(tasks.map((t) => t.shares[k] ?? 0)) ?? 0),
    observed,
  });
};

/** An agreement coefficient with the two shares it is made of. */
export interface ChanceCorrected {
  estimate: number;
  /** Agreement seen, 0..1. */
  observed: number;
  /** Agreement expected by chance under the coefficient's own model, 0..1. */
  expected: number;
}

/** (observed - expected) / (1 - expected); undefined when chance alone would agree fully. */
export const correctedForChance = (observed: number, expected: number): Figure<ChanceCorrected> =>
  1 - expected < 1e-12
    ? noFigure('no variation: chance alone would agree fully')
    : figure({ estimate: (observed - expected) / (1 - expected), observed, expected });
