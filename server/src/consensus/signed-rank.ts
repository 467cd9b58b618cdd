import { twoSidedZ } from './distributions.ts';

/** Wilcoxon's signed-rank test of "no shift" on paired differences. */
export interface SignedRank {
  /** Differences that are not zero. */
  n: number;
  /** Sum of the ranks of the positive and of the negative differences. */
  positive: number;
  negative: number;
  /** Two-sided. */
  p: number;
  method: 'exact' | 'normal';
}

/** Up to this many untied differences the null distribution is enumerated. */
const EXACT_LIMIT = 50;

const rankDifferences = (values: readonly number[]) => {
  const sorted = values.toSorted((a, b) => Math.abs(a) - Math.abs(b));
  let positive = 0;
  let tieTerm = 0;
  for (let i = 0; i < sorted.length;) {
    let j = i;
    while (j < sorted.length && Math.abs(sorted[j] ?? 0) === Math.abs(sorted[i] ?? 0)) j++;
    const size = j - i;
    tieTerm += size ** 3 - size;
    for (let l = i; l < j; l++) if ((sorted[l] ?? 0) > 0) positive += (i + 1 + j) / 2;
    i = j;
  }
  return { positive, tieTerm };
};

/** P(W <= w) when each of the ranks 1..n is positive with probability one half. */
const exactLower = (w: number, n: number): number => {
  let ways = [1];
  for (let rank = 1; rank <= n; rank++) {
    const next = new Array<number>(ways.length + rank).fill(0);
    ways.forEach((count, total) => {
      next[total] = (next[total] ?? 0) + count / 2;
      next[total + rank] = (next[total + rank] ?? 0) + count / 2;
    });
    ways = next;
  }
  return ways.slice(0, w + 1).reduce((sum, x) => sum + x, 0);
};

/**
 * Zeros are dropped. Without ties and up to 50 differences the p-value is exact, else the normal
 * approximation with tie and continuity correction. Undefined when every difference is zero.
 * Source: Wilcoxon 1945 (from memory); checked against R and SciPy.
 */
export const signedRank = (
  differences: readonly number[],
  method?: 'exact' | 'normal',
): SignedRank | undefined => {
  const values = differences.filter((d) => d !== 0);
  const n = values.length;
  if (n === 0) return undefined;
  const { positive, tieTerm } = rankDifferences(values);
  const total = (n * (n + 1)) / 2;
  const negative = total - positive;
  const use = method ?? (tieTerm === 0 && n <= EXACT_LIMIT ? 'exact' : 'normal');
  if (use === 'exact') {
    const p = Math.min(1, 2 * exactLower(Math.floor(Math.min(positive, negative)), n));
    return { n, positive, negative, p, method: use };
  }
  const variance = (n * (n + 1) * (2 * n + 1)) / 24 - tieTerm / 48;
  const distance = Math.max(0, Math.abs(positive - total / 2) - 0.5);
  const p = twoSidedZ(distance / Math.sqrt(variance));
  return { n, positive, negative, p, method: use };
};
