import { tQuantile } from '../consensus/distributions.ts';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';

/** A group as publications print it. */
export interface GroupSummary {
  n: number;
  mean: number;
  sd: number;
}

export interface WelchDifference {
  difference: number;
  se: number;
  /** Welch and Satterthwaite. */
  df: number;
  limits: [number, number];
}

/**
 * Difference of two means of independent groups, a minus b, unequal variances. No figure below two values in either
 * group, or when neither varies. Source: Welch 1947 (from memory); checked against SciPy's ttest_ind.
 */
export const welchDifference = (
  a: GroupSummary,
  b: GroupSummary,
  level = 0.95,
): Figure<WelchDifference> => {
  if (a.n < 2 || b.n < 2) return noFigure('fewer than two values in one of the groups');
  const [va, vb] = [a.sd ** 2 / a.n, b.sd ** 2 / b.n];
  const variance = va + vb;
  if (variance === 0) return noFigure('the values do not vary');
  const df = variance ** 2 / (va ** 2 / (a.n - 1) + vb ** 2 / (b.n - 1));
  const difference = a.mean - b.mean;
  const se = Math.sqrt(variance);
  const half = tQuantile((1 + level) / 2, df) * se;
  return figure({ difference, se, df, limits: [difference - half, difference + half] });
};

/** One group out of several published ones. Undefined without any value. */
export const mergeGroups = (groups: readonly GroupSummary[]): GroupSummary | undefined => {
  const n = groups.reduce((sum, g) => sum + g.n, 0);
  if (n === 0) return undefined;
  const mean = groups.reduce((sum, g) => sum + g.n * g.mean, 0) / n;
  const squares = groups.reduce(
    (sum, g) => sum + Math.max(0, g.n - 1) * g.sd ** 2 + g.n * (g.mean - mean) ** 2,
    0,
  );
  return { n, mean, sd: n === 1 ? 0 : Math.sqrt(squares / (n - 1)) };
};
