import { zQuantile } from '../consensus/distributions.ts';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import {
  threeFacetDependability,
  type ThreeFacetComponents,
} from '../consensus/three-facet-study.ts';

export interface StudySize {
  reviewers: number;
  trials: number;
  phi: number;
}

const MOST = 100;

/**
 * For each number of trials from 1 to `maxTrials`, the fewest reviewers whose mean reaches `wanted` (0 < phi < 1), up
 * to a hundred; numbers of trials for which no panel is large enough are left out. No figure when pieces do not
 * differ, or when nothing reaches it. Variances come from earlier evaluations (`threeFacetComponents`) or are stated by
 * whoever plans.
 */
export const studySizes = (
  variances: ThreeFacetComponents,
  wanted: number,
  maxTrials = 10,
): Figure<StudySize[]> => {
  if (!(wanted > 0 && wanted < 1)) throw new RangeError('a dependability lies between 0 and 1');
  if (!(variances.piece > 0))
    return noFigure('the pieces do not differ, so nothing tells them apart');
  const sizes = Array.from({ length: maxTrials }, (_, i) => i + 1).flatMap((trials) => {
    for (let reviewers = 1; reviewers <= MOST; reviewers += 1) {
      const phi = threeFacetDependability(variances, reviewers, trials)?.phi ?? 0;
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
