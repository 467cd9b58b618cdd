import type { WeightScheme } from './agreement-weights.ts';
import { compensatedSum } from './compensated-sum.ts';
import { tQuantile, twoSidedT } from './distributions.ts';
import { figure, noFigure, type Figure } from './figure.ts';
import {
  correctedForChance,
  observedAgreement,
  type ChanceCorrected,
  type ObservedAgreement,
} from './observed-agreement.ts';
import type { RatingCells } from './table.ts';

/** AC1 with identity weights, AC2 with any others. */
export interface Gwet extends ChanceCorrected {
  /** Tasks with at least one rating. */
  tasks: number;
  /** Over tasks as a sample, t with tasks - 1 degrees of freedom; `upper` cut at 1. */
  inference: Figure<{ se: number; lower: number; upper: number; p: number | undefined }>;
}

/** Linearised contributions of each task; their scatter gives the standard error. */
const contributions = (o: ObservedAgreement, c: ChanceCorrected): number[] => {
  const n = o.tasks.length;
  const paired = o.tasks.filter((t) => t.agreement !== undefined).length;
  const points = o.prevalence.length;
  const scale = o.totalWeight / (points * (points - 1));
  return o.tasks.map((t) => {
    const own =
      t.agreement === undefined
        ? 0
        : ((n / paired) * (t.agreement - c.expected)) / (1 - c.expected);
    const chance = scale * compensatedSum(t.shares.map((s, k) => s * (1 - (o.prevalence[k] ?? 0))));
    return own - (2 * (1 - c.estimate) * (chance - c.expected)) / (1 - c.expected);
  });
};

const inferenceOf = (o: ObservedAgreement, c: ChanceCorrected): Gwet['inference'] => {
  const n = o.tasks.length;
  if (n < 2) return noFigure('one task alone has no standard error');
  const squares = contributions(o, c).map((x) => (x - c.estimate) ** 2);
  const se = Math.sqrt(compensatedSum(squares) / (n * (n - 1)));
  const half = tQuantile(0.975, n - 1) * se;
  return figure({
    se,
    lower: c.estimate - half,
    upper: Math.min(1, c.estimate + half),
    p: se > 0 ? twoSidedT(c.estimate / se, n - 1) : undefined,
  });
};

/**
 * Gwet's AC1 (identity) and AC2: chance agreement Tw / (q (q - 1)) sum pi (1 - pi). It stays high when nearly
 * all tasks are alike and the raters agree, where kappa and alpha collapse. Absent cells allowed.
 * Source: Gwet 2014, chapters 3 and 5.
 */
export const gwet = (
  cells: RatingCells,
  points: readonly number[],
  scheme: WeightScheme,
): Figure<Gwet> => {
  const o = observedAgreement(cells, points, scheme);
  if (!o.ok) return o;
  const { prevalence, totalWeight, observed, tasks } = o.value;
  const q = prevalence.length;
  const spread = compensatedSum(prevalence.map((p) => p * (1 - p)));
  const c = correctedForChance(observed, (totalWeight / (q * (q - 1))) * spread);
  if (!c.ok) return c;
  return figure({ ...c.value, tasks: tasks.length, inference: inferenceOf(o.value, c.value) });
};
