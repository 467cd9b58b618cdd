import { agreementWeights, type WeightScheme } from './agreement-weights.ts';
import { compensatedSum } from './compensated-sum.ts';
import { twoSidedZ, zQuantile } from './distributions.ts';
import { figure, noFigure, type Figure } from './figure.ts';
import { correctedForChance, type ChanceCorrected } from './observed-agreement.ts';

export interface CohenKappa extends ChanceCorrected {
  /** Tasks rated by both. */
  tasks: number;
  /** Large-sample standard error, and the 95 % interval from it. */
  se: number;
  lower: number;
  upper: number;
  /** Test of "no better than chance", with the standard error under that hypothesis. */
  test: Figure<{ z: number; p: number }>;
}

interface Joint {
  /** Share of tasks in each cell of the table of both raters, and its margins. */
  shares: number[][];
  rows: number[];
  columns: number[];
}

const jointOf = (
  pairs: readonly (readonly [number, number])[],
  points: readonly number[],
): Joint => {
  const shares = points.map((a) =>
    points.map((b) => pairs.filter(([x, y]) => x === a && y === b).length / pairs.length),
  );
  return {
    shares,
    rows: shares.map(compensatedSum),
    columns: points.map((_, l) => compensatedSum(shares.map((row) => row[l] ?? 0))),
  };
};

/** Sum over all cells of (k, l). */
const over = (points: number, term: (k: number, l: number) => number): number =>
  compensatedSum(
    Array.from({ length: points * points }, (_, i) => term(Math.floor(i / points), i % points)),
  );

/** Both standard errors of Fleiss, Cohen & Everitt 1969, for kappa as found and under chance alone. */
const standardErrors = (
  j: Joint,
  w: number[][],
  n: number,
  { observed, expected }: ChanceCorrected,
) => {
  const q = w.length;
  const row = (k: number): number => j.rows[k] ?? 0;
  const column = (l: number): number => j.columns[l] ?? 0;
  const weight = (k: number, l: number): number => w[k]?.[l] ?? 0;
  const rowMean = w.map((_, k) => compensatedSum(w.map((__, l) => weight(k, l) * column(l))));
  const columnMean = w.map((_, l) => compensatedSum(w.map((__, k) => weight(k, l) * row(k))));
  const margins = (k: number, l: number): number => (rowMean[k] ?? 0) + (columnMean[l] ?? 0);
  const found = over(q, (k, l) => {
    const d = weight(k, l) * (1 - expected) - margins(k, l) * (1 - observed);
    return (j.shares[k]?.[l] ?? 0) * d * d;
  });
  const chance = over(q, (k, l) => row(k) * column(l) * (weight(k, l) - margins(k, l)) ** 2);
  const centre = observed * expected - 2 * expected + observed;
  const rest = 1 - expected;
  return {
    se: Math.sqrt(Math.max(0, found - centre * centre) / n) / (rest * rest),
    seChance: Math.sqrt(Math.max(0, chance - expected * expected) / n) / rest,
  };
};

const testOf = (estimate: number, se: number): CohenKappa['test'] => {
  if (se < 1e-9)
    return noFigure('a rater used one point only: every table would give the same kappa');
  return figure({ z: estimate / se, p: twoSidedZ(estimate / se) });
};

/**
 * Cohen's kappa of two raters over pairs of ratings on the given scale points (ascending, used or not).
 * Undefined without pairs, with a rating between the points, or when both used one and the same point only.
 * Sources: Cohen 1960, 1968; Fleiss, Cohen & Everitt 1969.
 */
export const cohenKappa = (
  pairs: readonly (readonly [number, number])[],
  points: readonly number[],
  scheme: WeightScheme,
): Figure<CohenKappa> => {
  if (pairs.length === 0) return noFigure('no task was rated by both');
  if (pairs.flat().some((x) => !points.includes(x))) {
    return noFigure('a rating lies between the points of the scale');
  }
  const w = agreementWeights(points.length, scheme);
  const joint = jointOf(pairs, points);
  const observed = over(w.length, (k, l) => (w[k]?.[l] ?? 0) * (joint.shares[k]?.[l] ?? 0));
  const expected = over(
    w.length,
    (k, l) => (w[k]?.[l] ?? 0) * (joint.rows[k] ?? 0) * (joint.columns[l] ?? 0),
  );
  const c = correctedForChance(observed, expected);
  if (!c.ok) return c;
  const { se, seChance } = standardErrors(joint, w, pairs.length, c.value);
  const half = zQuantile(0.975) * se;
  const ends = { lower: c.value.estimate - half, upper: Math.min(1, c.value.estimate + half) };
  const test = testOf(c.value.estimate, seChance);
  return figure({ ...c.value, tasks: pairs.length, se, ...ends, test });
};
