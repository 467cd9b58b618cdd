import { signedRank, type SignedRank } from './signed-rank.ts';

/** How one task's ratings moved from one round to the next, over the reviewers who rated in both. */
export interface TaskStability {
  /** Reviewers with a rating in both rounds. */
  n: number;
  shareChanged: number;
  meanAbsoluteChange: number;
  medianChange: number;
  /** Half the summed absolute difference of the two histograms, as a share of the ratings. */
  histogramChange: number;
}

/** Share of ratings that may still move in a stable task. From memory; its source was not read. */
export const STABLE_HISTOGRAM = 0.15;
export const STABLE_MEDIAN = 0.5;

type Row = readonly (number | undefined)[];

const median = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length / 2;
  return ((sorted[Math.ceil(half) - 1] ?? 0) + (sorted[Math.floor(half)] ?? 0)) / 2;
};

/** Undefined when nobody rated the task in both rounds. */
export const taskStability = (before: Row, after: Row): TaskStability | undefined => {
  const pairs = before.flatMap((a, j) => {
    const b = after[j];
    return a === undefined || b === undefined ? [] : [{ a, b }];
  });
  const n = pairs.length;
  if (n === 0) return undefined;
  const counts = new Map<number, number>();
  for (const { a, b } of pairs) {
    counts.set(a, (counts.get(a) ?? 0) - 1);
    counts.set(b, (counts.get(b) ?? 0) + 1);
  }
  const moved = [...counts.values()].reduce((sum, c) => sum + Math.abs(c), 0);
  return {
    n,
    shareChanged: pairs.filter(({ a, b }) => a !== b).length / n,
    meanAbsoluteChange: pairs.reduce((sum, { a, b }) => sum + Math.abs(b - a), 0) / n,
    medianChange: median(pairs.map(({ b }) => b)) - median(pairs.map(({ a }) => a)),
    histogramChange: moved / 2 / n,
  };
};

/** A global check over every pair of ratings; a hint beside the per-task figures, never a rule. */
export const pooledShift = (
  before: readonly Row[],
  after: readonly Row[],
): SignedRank | undefined =>
  signedRank(
    before.flatMap((row, i) =>
      row.flatMap((a, j) => {
        const b = after[i]?.[j];
        return a === undefined || b === undefined ? [] : [b - a];
      }),
    ),
    'normal',
  );

export type StoppingAdvice = 'settled' | 'stable-disagreement' | 'round-limit' | 'another-round';

/**
 * Whether another round can help: no flag left; flagged tasks that no longer move (report the disagreement,
 * never force agreement); the limit of rounds; or go on.
 */
export const stoppingAdvice = (
  flagged: readonly (TaskStability | undefined)[],
  round: number,
  limit: number,
): StoppingAdvice => {
  if (flagged.length === 0) return 'settled';
  const still = flagged.every(
    (s) =>
      s !== undefined &&
      s.histogramChange <= STABLE_HISTOGRAM &&
      Math.abs(s.medianChange) <= STABLE_MEDIAN,
  );
  if (still) return 'stable-disagreement';
  return round >= limit ? 'round-limit' : 'another-round';
};
