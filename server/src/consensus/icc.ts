import { quantileF, upperF } from './distributions.ts';
import { figure, noFigure, type Figure } from './figure.ts';
import { meanSquares, type MeanSquares } from './mean-squares.ts';
import { completeRows, ratedColumns, type RatingCells } from './table.ts';

/** Model (1 one-way, 2 absolute agreement, 3 consistency), for one reviewer or the mean of all k. */
export type IccForm = '1,1' | '2,1' | '3,1' | '1,k' | '2,k' | '3,k';

export interface Icc {
  /** May be negative; then the tasks differ less than chance would make them. */
  estimate: number;
  df1: number;
  df2: number;
  test: Figure<{ f: number; p: number }>;
  /** 95 %. */
  interval: Figure<{ lower: number; upper: number }>;
}

export interface IccTable {
  /** Complete tasks used, and tasks left out because a cell was absent. */
  tasks: number;
  leftOut: number;
  reviewers: number;
  forms: Record<IccForm, Figure<Icc>>;
}

interface Ends {
  lower: number;
  upper: number;
}

const NO_RESIDUAL = 'no residual variation: F has no limit';

/** Below this share of all variation a mean square is rounding, not variation. */
const RELATIVE_NOISE = 1e-12;

const fEnds = (f: number, df1: number, df2: number): Ends => ({
  lower: f / quantileF(0.975, df1, df2),
  upper: f * quantileF(0.975, df2, df1),
});

const mapEnds = (ends: Ends, change: (x: number) => number): Ends => ({
  lower: change(ends.lower),
  upper: change(ends.upper),
});

/** Limits of the absolute-agreement form for one reviewer; its degrees of freedom are fractional. */
const agreementEnds = (ms: MeanSquares, icc: number): Ends => {
  const { tasks: n, reviewers: k, msTasks: b, msReviewers: j, msResidual: e } = ms;
  const fj = j / e;
  const c = n * (1 + (k - 1) * icc) - k * icc;
  const v =
    ((k - 1) * (n - 1) * (k * icc * fj + c) ** 2) / ((n - 1) * k * k * icc * icc * fj * fj + c * c);
  const fa = quantileF(0.975, n - 1, v);
  const fb = quantileF(0.975, v, n - 1);
  const rest = k * j + (n * k - k - n) * e;
  return {
    lower: (n * (b - fa * e)) / (fa * rest + n * b),
    upper: (n * (fb * b - e)) / (rest + n * fb * b),
  };
};

/** The six forms from the mean squares: numerator and denominator of each estimate. */
const ratios = (ms: MeanSquares): Record<IccForm, readonly [number, number]> => {
  const { tasks: n, reviewers: k, msTasks: b, msReviewers: j, msResidual: e, msWithin: w } = ms;
  return {
    '1,1': [b - w, b + (k - 1) * w],
    '2,1': [b - e, b + (k - 1) * e + (k * (j - e)) / n],
    '3,1': [b - e, b + (k - 1) * e],
    '1,k': [b - w, b],
    '2,k': [b - e, b + (j - e) / n],
    '3,k': [b - e, b],
  };
};

const endsOf = (form: IccForm, ms: MeanSquares, f: number, df2: number, single: number): Ends => {
  const k = ms.reviewers;
  if (form.startsWith('2')) {
    const ends = agreementEnds(ms, single);
    // Spearman-Brown has no value at or below -1 / (k - 1): there the limit runs off without end.
    const stepUp = (x: number): number => (k * x) / Math.max(0, 1 + (k - 1) * x);
    return form === '2,1' ? ends : mapEnds(ends, stepUp);
  }
  const ends = fEnds(f, ms.tasks - 1, df2);
  return form.endsWith('k')
    ? mapEnds(ends, (x) => 1 - 1 / x)
    : mapEnds(ends, (x) => (x - 1) / (x + k - 1));
};

const formOf = (form: IccForm, ms: MeanSquares): Figure<Icc> => {
  const noise = RELATIVE_NOISE * (ms.msTasks + ms.msReviewers + ms.msResidual + ms.msWithin);
  const [above, below] = ratios(ms)[form];
  // The divisor estimates a variance; in the form (2,k) it may fall below zero, where the ratio means nothing.
  if (below <= noise) return noFigure('the tasks differ too little for this form');
  const error = form.startsWith('1') ? ms.msWithin : ms.msResidual;
  const df1 = ms.tasks - 1;
  const df2 = form.startsWith('1') ? ms.tasks * (ms.reviewers - 1) : df1 * (ms.reviewers - 1);
  const base = { estimate: above / below, df1, df2 };
  if (error <= noise) {
    return figure({ ...base, test: noFigure(NO_RESIDUAL), interval: noFigure(NO_RESIDUAL) });
  }
  const f = ms.msTasks / error;
  const [singleAbove, singleBelow] = ratios(ms)['2,1'];
  const ends = endsOf(form, ms, f, df2, singleAbove / singleBelow);
  const finite = Number.isFinite(ends.lower) && Number.isFinite(ends.upper);
  return figure({
    ...base,
    test: figure({ f, p: upperF(f, df1, df2) }),
    interval: finite ? figure(ends) : noFigure('the tasks do not differ: the limits have no end'),
  });
};

/**
 * Intraclass correlations of a complete table; tasks with an absent cell are left out and counted, reviewers
 * without any rating do not count. Undefined with fewer than two complete tasks or two reviewers, and when all
 * ratings are equal. Assumes additive effects and residuals of one variance.
 * Sources: Shrout & Fleiss 1979; McGraw & Wong 1996 with its correction (from memory).
 */
export const icc = (cells: RatingCells): Figure<IccTable> => {
  const rated = ratedColumns(cells);
  const rows = completeRows(rated);
  const reviewers = rated[0]?.length ?? 0;
  if (reviewers < 2) return noFigure('fewer than two reviewers');
  const ms = meanSquares(rows);
  if (!ms) return noFigure('fewer than two tasks rated by every reviewer');
  if (new Set(rows.flat()).size === 1) {
    return noFigure('no variation: every rating is the same');
  }
  const leftOut = cells.length - rows.length;
  const forms = {
    '1,1': formOf('1,1', ms),
    '2,1': formOf('2,1', ms),
    '3,1': formOf('3,1', ms),
    '1,k': formOf('1,k', ms),
    '2,k': formOf('2,k', ms),
    '3,k': formOf('3,k', ms),
  };
  return figure({ tasks: rows.length, leftOut, reviewers, forms });
};
