import { figure, noFigure, type Figure } from './figure.ts';
import { rankSumSpread, ranksWithinReviewers } from './kendall-w.ts';

/** How often reviewers who rank at random agree at least as much. */
export interface PermutationTest {
  p: number;
  draws: number;
}

const shuffled = (values: readonly number[], random: () => number): number[] => {
  const order = [...values];
  for (let i = order.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [order[i], order[j]] = [order[j] ?? 0, order[i] ?? 0];
  }
  return order;
};

/**
 * p of Kendall's W (and of Friedman's statistic) by shuffling within each reviewer, for tables too small for
 * chi-square. The table itself counts as one draw, so p is never 0. `random` gives numbers in [0, 1).
 * Undefined where W is. Source: Phipson & Smyth 2010 (from memory) for the added one.
 */
export const kendallPermutation = (
  cells: readonly (readonly (number | undefined)[])[],
  random: () => number,
  draws = 10_000,
): Figure<PermutationTest> => {
  const ranks = ranksWithinReviewers(cells);
  if (!ranks.ok) return ranks;
  if (ranks.value.every((r) => r.every((x) => x === r[0]))) {
    return noFigure('no reviewer told the tasks apart');
  }
  const found = rankSumSpread(ranks.value);
  let reached = 1;
  for (let i = 0; i < draws; i++) {
    if (rankSumSpread(ranks.value.map((r) => shuffled(r, random))) >= found - 1e-9) reached++;
  }
  return figure({ p: reached / (draws + 1), draws });
};
