import { compensatedSum } from './compensated-sum.ts';
import { upperChi2 } from './distributions.ts';
import { figure, noFigure, type Figure } from './figure.ts';
import { midranks } from './midranks.ts';
import { completeRows, ratedColumns, type RatingCells } from './table.ts';

/** Agreement on the order of the tasks. A reviewer two points severe throughout leaves it at 1. */
export interface KendallW {
  w: number;
  /** Squared distances of the rank sums from their mean, and the sum of t^3 - t over ties. */
  s: number;
  ties: number;
  /** Friedman's statistic with tie correction, k (n - 1) W, on n - 1 degrees of freedom. */
  chi2: number;
  df: number;
  /** From chi-square: rough for seven tasks or fewer, or few reviewers. */
  p: number;
  /** Tasks used, rated by every reviewer. */
  tasks: number;
  reviewers: number;
  /** Mean Spearman correlation over pairs of reviewers. */
  meanSpearman: number;
}

/** Ranks of the complete tasks within each reviewer: one array a reviewer. */
export const ranksWithinReviewers = (cells: RatingCells): Figure<number[][]> => {
  const rated = ratedColumns(cells);
  const rows = completeRows(rated);
  const reviewers = rated[0]?.length ?? 0;
  if (reviewers < 2) return noFigure('fewer than two reviewers');
  if (rows.length < 2) return noFigure('fewer than two tasks rated by every reviewer');
  const columns = Array.from({ length: reviewers }, (_, j) => rows.map((row) => row[j] ?? 0));
  return figure(columns.map(midranks));
};

/** Squared distances of the tasks' rank sums from their mean k (n + 1) / 2. */
export const rankSumSpread = (ranks: readonly (readonly number[])[]): number => {
  const n = ranks[0]?.length ?? 0;
  const middle = (ranks.length * (n + 1)) / 2;
  return compensatedSum(
    Array.from(
      { length: n },
      (_, i) => (compensatedSum(ranks.map((r) => r[i] ?? 0)) - middle) ** 2,
    ),
  );
};

const tieSum = (ranks: readonly number[]): number => {
  const counts = new Map<number, number>();
  for (const r of ranks) counts.set(r, (counts.get(r) ?? 0) + 1);
  return compensatedSum([...counts.values()].map((t) => t ** 3 - t));
};

/**
 * Kendall's W, W = 12 S / (k^2 (n^3 - n) - k T), with midranks and tie correction; tasks with an absent cell
 * are left out. Undefined with fewer than two complete tasks or two reviewers, and when every reviewer gave
 * all tasks the same. Sources: Kendall & Babington Smith 1939 (from memory); Friedman 1937; checked against
 * R's friedman.test.
 */
export const kendallW = (cells: RatingCells): Figure<KendallW> => {
  const columns = ranksWithinReviewers(cells);
  if (!columns.ok) return columns;
  const k = columns.value.length;
  const n = columns.value[0]?.length ?? 0;
  const s = rankSumSpread(columns.value);
  const ties = compensatedSum(columns.value.map(tieSum));
  const below = k * k * (n ** 3 - n) - k * ties;
  if (below === 0) return noFigure('no reviewer told the tasks apart');
  const w = (12 * s) / below;
  const chi2 = k * (n - 1) * w;
  return figure({
    w,
    s,
    ties,
    chi2,
    df: n - 1,
    p: upperChi2(chi2, n - 1),
    tasks: n,
    reviewers: k,
    meanSpearman: (k * w - 1) / (k - 1),
  });
};
