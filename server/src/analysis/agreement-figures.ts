import { alphaInterval } from '../consensus/alpha-interval.ts';
import { brennanPrediger } from '../consensus/brennan-prediger.ts';
import { cohenKappa } from '../consensus/cohen-kappa.ts';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { fleiss } from '../consensus/fleiss.ts';
import { gwet } from '../consensus/gwet.ts';
import { iccByComponents } from '../consensus/icc-by-components.ts';
import { icc, type Icc, type IccForm, type IccTable } from '../consensus/icc.ts';
import { kendallPermutation } from '../consensus/kendall-permutation.ts';
import { kendallW } from '../consensus/kendall-w.ts';
import { krippendorffAlpha, type AlphaMetric } from '../consensus/krippendorff-alpha.ts';
import { pairAgreement } from '../consensus/pair-agreement.ts';
import { scalePoints, type RatingCells } from '../consensus/table.ts';
import type { VarianceComponents } from '../consensus/variance-components.ts';
import type { AgreementFigures, IccFigures } from './analysis.ts';
import { noted, part } from './noted.ts';
import type { RatingSource } from './rating-source.ts';

const METRICS: readonly AlphaMetric[] = ['nominal', 'ordinal', 'interval', 'ratio'];
const FORMS: readonly IccForm[] = ['1,1', '2,1', '3,1', '1,k', '2,k', '3,k'];

/** Shuffles for the p of W, where chi-square is rough: up to seven tasks, or four reviewers. */
const PERMUTED_TASKS = 7;
const PERMUTED_REVIEWERS = 4;

/** Why a resampled figure is missing where no chance was given. */
export const NOT_RESAMPLED = 'nothing was resampled';

/** Seeded generators, so that the same file gives the same output. */
export interface Chance {
  seed: number;
  /** A fresh stream of numbers in [0, 1), the same for the same seed. */
  stream: () => () => number;
}

const iccFigures = (table: Figure<IccTable>, form: IccForm): IccFigures => {
  const found = table.ok ? table.value.forms[form] : table;
  const of = (pick: (i: Icc) => number): Figure => part(found, pick);
  const test = found.ok ? found.value.test : found;
  const interval = found.ok ? found.value.interval : found;
  return noted({
    estimate: of((i) => i.estimate),
    f: part(test, (t) => t.f),
    df1: of((i) => i.df1),
    df2: of((i) => i.df2),
    p: part(test, (t) => t.p),
    lower: part(interval, (l) => l.lower),
    upper: part(interval, (l) => l.upper),
  });
};

const permutedP = (cells: RatingCells, chance: Chance | null): Figure =>
  chance ? part(kendallPermutation(cells, chance.stream()), (t) => t.p) : noFigure(NOT_RESAMPLED);

const kendallFigures = (
  cells: RatingCells,
  chance: Chance | null,
): Figure<NonNullable<AgreementFigures['kendall_w']>> => {
  const found = kendallW(cells);
  if (!found.ok) return found;
  const { w, chi2, df, p, tasks, reviewers } = found.value;
  const small = tasks <= PERMUTED_TASKS || reviewers <= PERMUTED_REVIEWERS;
  const permuted = small
    ? permutedP(cells, chance)
    : noFigure('the table is large enough for chi-square');
  return figure({ w, chi2, df, p, ...noted({ p_permutation: permuted }) });
};

const componentIcc = (
  cells: RatingCells,
  components: VarianceComponents | undefined,
): Figure<NonNullable<AgreementFigures['icc_components']>> => {
  if (!components) return noFigure('no variance components');
  return part(iccByComponents(cells, components), (found) => ({
    agreement_single: found.agreementSingle,
    agreement_average: found.agreementAverage,
    consistency_single: found.consistencySingle,
    consistency_average: found.consistencyAverage,
    reviewers: found.reviewers,
  }));
};

/**
 * Agreement over all tasks. Intraclass correlations and W read a reviewer's mean over trials; the others need
 * points of the scale, so each trial of a task is a unit of its own.
 */
export const agreementFigures = (
  { table, units }: RatingSource,
  components: VarianceComponents | undefined,
  chance: Chance | null,
): AgreementFigures => {
  const points = scalePoints(table.scale);
  const alphas = METRICS.map((m) => [m, krippendorffAlpha(units, m)] as const);
  const resampled = chance
    ? part(alphaInterval(units, 'ordinal', chance.stream()), (r) => ({ ...r, seed: chance.seed }))
    : noFigure(NOT_RESAMPLED);
  const iccs = icc(table.cells);
  const ac2 = gwet(units, points, 'quadratic');
  const range = ac2.ok ? ac2.value.inference : ac2;
  const pairs = (tolerance: number): Figure =>
    part(pairAgreement(units, tolerance), (p) => p.pooled);
  const two = table.reviewers.length === 2;
  return {
    alpha: noted(Object.fromEntries(alphas) as Record<AlphaMetric, Figure>),
    icc: Object.fromEntries(FORMS.map((f) => [f, iccFigures(iccs, f)])) as AgreementFigures['icc'],
    ...noted({
      alpha_interval: resampled,
      icc_tasks: part(iccs, (i) => ({ used: i.tasks, left_out: i.leftOut })),
      icc_components: componentIcc(table.cells, components),
      ac1: part(gwet(units, points, 'identity'), (g) => g.estimate),
      ac2_linear: part(gwet(units, points, 'linear'), (g) => g.estimate),
      ac2_quadratic: part(ac2, (g) => g.estimate),
      fleiss: part(fleiss(units, points, 'identity'), (f) => f.estimate),
      brennan_prediger: part(brennanPrediger(units, points, 'quadratic'), (b) => b.estimate),
      kappa_quadratic: two ? cohenOf(units, points) : noFigure('only for two reviewers'),
      within_one_pairs: pairs(1),
      exact_pairs: pairs(0),
      ac2_quadratic_interval: part(range, ({ lower, upper }) => ({ lower, upper })),
      kendall_w: kendallFigures(table.cells, chance),
    }),
  };
};

const cohenOf = (units: RatingCells, points: readonly number[]): Figure => {
  const pairs = units.flatMap(([a, b]) =>
    a === undefined || b === undefined ? [] : [[a, b] as const],
  );
  return part(cohenKappa(pairs, points, 'quadratic'), (k) => k.estimate);
};
