import type { WeightScheme } from './agreement-weights.ts';
import { compensatedSum } from './compensated-sum.ts';
import { twoSidedZ } from './distributions.ts';
import { figure, noFigure, type Figure } from './figure.ts';
import {
  correctedForChance,
  observedAgreement,
  type ChanceCorrected,
  type ObservedAgreement,
} from './observed-agreement.ts';
import type { RatingCells } from './table.ts';

export interface Fleiss extends ChanceCorrected {
  /** Large-sample test of "no better than chance"; only for the classic case. */
  test: Figure<{ z: number; p: number }>;
}

/** Source: Fleiss, Nee & Landis 1979 (from memory); checked on the data of Fleiss 1971. */
const testOf = (o: ObservedAgreement, scheme: WeightScheme, estimate: number): Fleiss['test'] => {
  const m = o.tasks[0]?.ratings ?? 0;
  if (scheme !== 'identity' || o.tasks.some((t) => t.ratings !== m)) {
    return noFigure('the test needs the same number of ratings for every task, and no weights');
  }
  const spread = compensatedSum(o.prevalence.map((p) => p * (1 - p)));
  const skew = compensatedSum(o.prevalence.map((p) => p * (1 - p) * (1 - 2 * p)));
  const n = o.tasks.length;
  const se = Math.sqrt((2 * (spread * spread - skew)) / (n * m * (m - 1))) / spread;
  const z = estimate / se;
  return figure({ z, p: twoSidedZ(z) });
};

/**
 * Fleiss' kappa, generalised to absent cells and weights: expected sum w pi pi. With equal numbers of ratings
 * and identity weights it is the classic one. Sources: Fleiss 1971; Gwet 2014.
 */
export const fleiss = (
  cells: RatingCells,
  points: readonly number[],
  scheme: WeightScheme,
): Figure<Fleiss> => {
  const o = observedAgreement(cells, points, scheme);
  if (!o.ok) return o;
  const { prevalence, weights, observed } = o.value;
  const expected = compensatedSum(
    prevalence.flatMap((p, k) => prevalence.map((r, l) => (weights[k]?.[l] ?? 0) * p * r)),
  );
  const c = correctedForChance(observed, expected);
  return c.ok ? figure({ ...c.value, test: testOf(o.value, scheme, c.value.estimate) }) : c;
};
