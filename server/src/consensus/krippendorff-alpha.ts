import { figure, noFigure, type Figure } from './figure.ts';
import { present, type RatingCells } from './table.ts';

export type AlphaMetric = 'nominal' | 'ordinal' | 'interval' | 'ratio';

interface Coincidences {
  values: number[];
  /** Pairs of values within units, each unit weighted by 1 / (ratings - 1). */
  matrix: number[][];
  marginals: number[];
  total: number;
}

const coincidences = (units: readonly number[][]): Coincidences => {
  const used = new Set<number>();
  for (const unit of units) for (const v of unit) used.add(v);
  const values = [...used].toSorted((a, b) => a - b);
  const index = new Map(values.map((v, i) => [v, i]));
  const matrix = values.map(() => new Array<number>(values.length).fill(0));
  for (const unit of units) {
    const counts = new Array<number>(values.length).fill(0);
    for (const v of unit) {
      const i = index.get(v) ?? 0;
      counts[i] = (counts[i] ?? 0) + 1;
    }
    counts.forEach((a, i) => {
      if (a === 0) return;
      const row = matrix[i] ?? [];
      counts.forEach((b, j) => {
        row[j] = (row[j] ?? 0) + (a * (i === j ? b - 1 : b)) / (unit.length - 1);
      });
    });
  }
  const marginals = matrix.map((row) => row.reduce((sum, x) => sum + x, 0));
  return { values, matrix, marginals, total: marginals.reduce((sum, x) => sum + x, 0) };
};

/** Squared distance between the i-th and j-th value in use. */
const distance = (metric: AlphaMetric, c: Coincidences) => {
  const value = (i: number): number => c.values[i] ?? 0;
  if (metric === 'nominal') return (i: number, j: number): number => (i === j ? 0 : 1);
  if (metric === 'interval') return (i: number, j: number): number => (value(i) - value(j)) ** 2;
  if (metric === 'ratio') {
    return (i: number, j: number): number => {
      const sum = value(i) + value(j);
      return sum === 0 ? 0 : ((value(i) - value(j)) / sum) ** 2;
    };
  }
  const below = [0];
  c.marginals.forEach((n, i) => below.push((below[i] ?? 0) + n));
  const middle = c.marginals.map((n, i) => (below[i] ?? 0) + n / 2);
  return (i: number, j: number): number => ((middle[i] ?? 0) - (middle[j] ?? 0)) ** 2;
};

/**
 * Krippendorff's alpha over units (rows) with absent cells. The ordinal metric uses the marginals of this very
 * table, so it changes when ratings are added. Undefined without a unit of two ratings, or when only one value
 * was used; a single unit gives 0 by construction and is suppressed.
 * Source: Krippendorff 2011, Computing Krippendorff's Alpha-Reliability.
 */
export const krippendorffAlpha = (cells: RatingCells, metric: AlphaMetric): Figure => {
  const units = cells.map(present).filter((unit) => unit.length >= 2);
  if (units.length === 0) return noFigure('no task with two ratings');
  if (units.length === 1) return noFigure('one task alone says nothing about agreement over tasks');
  const c = coincidences(units);
  const d2 = distance(metric, c);
  let observed = 0;
  let expected = 0;
  c.matrix.forEach((row, i) => {
    row.forEach((o, j) => {
      const d = d2(i, j);
      observed += o * d;
      expected += (c.marginals[i] ?? 0) * (c.marginals[j] ?? 0) * d;
    });
  });
  if (expected === 0) return noFigure('no variation: every rating is the same');
  const alpha = 1 - (observed * (c.total - 1)) / expected;
  // Chance level is exactly 0, not what rounding leaves of it.
  return figure(Math.abs(alpha) < 1e-12 ? 0 : alpha);
};
