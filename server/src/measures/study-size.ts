import { zQuantile } from '../consensus/distributions.ts';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';

/**
 * Variance by source of a piece x reviewer x trial study, scale points squared. Sources: earlier evaluations
 * (consensus/three-facet-study) or stated by whoever plans. `pieceReviewer` holds what reviewers see differently.
 */
export interface StudyVariances {
  piece: number;
  reviewer: number;
  trial: number;
  pieceReviewer: number;
  pieceTrial: number;
  reviewerTrial: number;
  residual: number;
}

export interface StudySize {
  reviewers: number;
  trials: number;
  phi: number;
}

const MOST = 100;

/** Phi of a mean over so many reviewers and trials; negative variances count as none. Brennan 2001, chapter 4. */
export const phiOf = (v: StudyVariances, reviewers: number, trials: number): number => {
  const c = (key: keyof StudyVariances): number => Math.max(0, v[key]);
  const error =
    (c('reviewer') + c('pieceReviewer')) / reviewers +
    (c('trial') + c('pieceTrial')) / trials +
    (c('reviewerTrial') + c('residual')) / (reviewers * trials);
  return c('piece') === 0 ? 0 : c('piece') / (c('piece') + error);
};

/**
 * For each number of trials from 1 to `maxTrials`, the fewest reviewers whose mean reaches `wanted` (0 < phi < 1), up
 * to a hundred; numbers of trials for which no panel is large enough are left out. No figure when pieces do not
 * differ, or when nothing reaches it.
 */
export const studySizes = (
  variances: StudyVariances,
  wanted: number,
  maxTrials = 10,
): Figure<StudySize[]> => {
  if (!(wanted > 0 && wanted < 1)) throw new RangeError('a dependability lies between 0 and 1');
  if (!(variances.piece > 0))
    return noFigure('the pieces do not differ, so nothing tells them apart');
  const sizes = Array.from({ length: maxTrials }, (_, i) => i + 1).flatMap((trials) => {
    for (let reviewers = 1; reviewers <= MOST; reviewers += 1) {
      const phi = phiOf(variances, reviewers, trials);
      // An exact whole number must not be pushed up by binary noise.
      if (phi >= wanted - 1e-12) return [{ reviewers, trials, phi }];
    }
    return [];
  });
  const why =
    'no panel of a hundred reaches it with so many trials: what varies does not average out';
  return sizes.length > 0 ? figure(sizes) : noFigure(why);
};

/**
 * Pieces (or tasks) needed to know an intraclass correlation `r` of `k` raters to a 95 % interval of `width`. For two
 * raters and r of 0.7 or more the small-panel correction adds 5 r. Source: Bonett 2002, Statistics in Medicine 21:1331,
 * as a calculator's page shows it. Throws when r, k or width cannot be.
 */
export const piecesForCorrelation = (r: number, k: number, width: number): number => {
  if (!(r >= 0 && r < 1) || !(k >= 2) || !(width > 0 && width < 2)) {
    throw new RangeError('a correlation of 0 to 1, two raters or more, and a width above zero');
  }
  const z = zQuantile(0.975);
  const spread =
    (8 * z * z * (1 - r) ** 2 * (1 + (k - 1) * r) ** 2) / (k * (k - 1) * width * width);
  const correction = k === 2 && r >= 0.7 ? 5 * r : 0;
  return Math.ceil(spread + 1 + correction - 1e-9);
};
