import { describe, expect, test } from 'vitest';
import { algorithmA } from '../../../server/src/consensus/algorithm-a.ts';
import { bootstrapIntervals } from '../../../server/src/consensus/bootstrap-intervals.ts';
import { dependability, reviewersForPhi } from '../../../server/src/consensus/dependability.ts';
import { twoSidedT } from '../../../server/src/consensus/distributions.ts';
import { grubbs } from '../../../server/src/consensus/grubbs.ts';
import { gwet } from '../../../server/src/consensus/gwet.ts';
import { iccByComponents } from '../../../server/src/consensus/icc-by-components.ts';
import {
  nestedComponents,
  nestedDependability,
} from '../../../server/src/consensus/nested-study.ts';
import { pairedDifference } from '../../../server/src/consensus/paired-difference.ts';
import { newcombe } from '../../../server/src/consensus/proportion-interval.ts';
import { randomEffects } from '../../../server/src/consensus/random-effects.ts';
import {
  ratingScaleModel,
  type FacetRating,
} from '../../../server/src/consensus/rating-scale-model.ts';
import { stoppingAdvice, taskStability } from '../../../server/src/consensus/round-stability.ts';
import { rWgJ } from '../../../server/src/consensus/r-wg.ts';
import { aWg } from '../../../server/src/consensus/a-wg.ts';
import { componentsByReml } from '../../../server/src/consensus/variance-components.ts';
import { signedRank } from '../../../server/src/consensus/signed-rank.ts';
import { must } from '../../support/expect-figure.ts';

const six = { min: 0, max: 5, better: 'lower' } as const;

describe('the fewest values a figure takes', () => {
  test('three for Algorithm A and for Grubbs, two give none', () => {
    // 1, 2, 4 by hand: mean 7/3, standard deviation sqrt(7/3), largest distance 5/3.
    expect(grubbs([1, 2, 4])).toBeCloseTo(5 / 3 / Math.sqrt(7 / 3), 12);
    expect(grubbs([1, 2])).toBeUndefined();
    expect(algorithmA([1, 2, 4])?.degenerate).toBe(false);
    expect(algorithmA([1, 2])).toBeUndefined();
  });
  test('two pairs for a mean difference', () => {
    // Differences 0.1 and 0.3: mean 0.2, standard deviation 0.1 sqrt(2), t = 2.
    const found = pairedDifference([
      [1.1, 1],
      [2.3, 2],
    ]);
    expect(found?.t).toBeCloseTo(2, 9);
    expect(pairedDifference([[1, 0]])).toBeUndefined();
    expect(
      pairedDifference([
        [2, 1],
        [3, 2],
      ])?.t,
    ).toBeUndefined();
  });
  test('two estimates for a random-effects mean', () => {
    expect(randomEffects([1, 2], [0.1, 0.1])?.mu).toBeCloseTo(1.5, 12);
    expect(randomEffects([1], [0.1])).toBeUndefined();
  });
  test('two reviewers for bootstrap intervals', () => {
    const draws = [
      [0, 0],
      [0, 1],
      [1, 1],
    ];
    expect(must(bootstrapIntervals([1, 3], draws)).estimate).toBe(2);
    expect(bootstrapIntervals([1], draws).ok).toBe(false);
  });
  test('one difference for a signed rank: exact p 1', () => {
    expect(signedRank([0, 0.4])).toEqual({ n: 1, positive: 1, negative: 0, p: 1, method: 'exact' });
    expect(signedRank([0, 0])).toBeUndefined();
  });
  test('the mean nearest an end of a scale that does not begin at 0 at which a_wg is defined', () => {
    // Brown and Hauenstein 2005: (L (k - 1) + H) / k to (H (k - 1) + L) / k; with three raters on 1 to 5, 7/3 to 11/3.
    const five = { min: 1, max: 5, better: 'higher' } as const;
    expect(must(aWg([1, 1, 5], five))).toBeCloseTo(-1, 12);
    expect(aWg([1, 1, 4], five).ok).toBe(false);
    expect(must(aWg([5, 5, 1], five))).toBeCloseTo(-1, 12);
    expect(aWg([5, 5, 2], five).ok).toBe(false);
  });
  test('a table whose tasks and reviewers do not differ: all variance is residual', () => {
    // A Latin square: every row and every column sums to 3, so both components run into zero; 6 / 8 by hand.
    const latin = [
      [0, 1, 2],
      [1, 2, 0],
      [2, 0, 1],
    ];
    const { task, reviewer, residual } = componentsByReml(latin) ?? {};
    expect([task, reviewer]).toEqual([0, 0]);
    expect(residual).toBeCloseTo(0.75, 9);
  });
  test('the most differences of a signed-rank test that is enumerated: fifty', () => {
    const untied = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1);
    expect(signedRank(untied(50))?.method).toBe('exact');
    expect(signedRank(untied(51))?.method).toBe('normal');
  });
  test('two pieces, tasks and reviewers for a nested study', () => {
    const cube = [
      [
        [1, 2],
        [2, 4],
      ],
      [
        [4, 4],
        [5, 3],
      ],
    ];
    // By hand: differences of the two reviewers 1 and 0 in the first task, 2 and -2 in the second; their squares
    // about the task's mean, halved, sum to 0.25 + 4 on 2 degrees of freedom.
    expect(nestedComponents(cube)?.residual).toBeCloseTo(2.125, 12);
    expect(nestedComponents(cube.slice(1))).toBeUndefined();
    expect(nestedComponents(cube.map((p) => p.slice(1)))).toBeUndefined();
    expect(nestedComponents(cube.map((p) => p.map((t) => t.slice(1))))).toBeUndefined();
  });
});

describe('one of each', () => {
  const nested = { piece: 1, task: 0.5, reviewer: 0.25, pieceTask: 0.5, residual: 1 };
  test('one task with one reviewer', () => {
    const found = nestedDependability(nested, 1, 1);
    expect(found?.g).toBeCloseTo(1 / 2.5, 12);
    expect(found?.phi).toBeCloseTo(1 / 3.25, 12);
    expect(nestedDependability(nested, 0, 1)).toBeUndefined();
    expect(nestedDependability(nested, 1, 0)).toBeUndefined();
  });
  test('pieces that do not differ have no dependability', () => {
    expect(nestedDependability({ ...nested, piece: 0 }, 3, 4)).toBeUndefined();
    expect(nestedDependability({ ...nested, piece: -0.2 }, 3, 4)).toBeUndefined();
  });
  test('one reviewer: error variance whole; tasks that do not differ have none', () => {
    const components = { task: 1, reviewer: 0.5, residual: 0.5 };
    expect(dependability(components, 1)?.phi).toBeCloseTo(0.5, 12);
    expect(dependability(components, 0)).toBeUndefined();
    expect(dependability({ ...components, task: -0.1 }, 3)).toBeUndefined();
    expect(reviewersForPhi(components, 0.8)).toBe(4);
    expect(reviewersForPhi({ ...components, task: 0 }, 0.8)).toBeUndefined();
    // Nothing but the task varies: one reviewer says it all.
    expect(reviewersForPhi({ task: 1, reviewer: 0, residual: 0 }, 0.8)).toBe(1);
  });
  test.each([0, 1, 1.1, -0.2])('a wanted dependability of %d has no number of reviewers', (phi) => {
    expect(reviewersForPhi({ task: 1, reviewer: 0.5, residual: 0.5 }, phi)).toBeUndefined();
  });
  test('a task with one rating counts in the number of reviewers that averages stand for', () => {
    const components = { task: 1, reviewer: 0.25, residual: 0.75 };
    const found = must(
      iccByComponents(
        [
          [1, 2],
          [3, undefined],
          [undefined, undefined],
        ],
        components,
      ),
    );
    // Harmonic mean of 2 and 1.
    expect(found.reviewers).toBeCloseTo(4 / 3, 12);
    expect(found.agreementAverage).toBeCloseTo(1 / (1 + 1 / (4 / 3)), 12);
  });
});

describe('the ends of a figure', () => {
  test('r_wg(J) of a panel as scattered as chance, or more, is 0', () => {
    expect(must(rWgJ([[0, 5]], six))).toBe(0);
    expect(must(rWgJ([[1, 4]], six))).toBe(0);
    // Variance 35/12 exactly: chance itself.
    const half = Math.sqrt(35 / 6) / 2;
    expect(must(rWgJ([[2.5 - half, 2.5 + half]], six))).toBeCloseTo(0, 12);
    expect(must(rWgJ([[2, 2]], six))).toBe(1);
  });
  test('the upper limit of AC1 is cut at 1, and its test has a p', () => {
    const cells = [...Array.from({ length: 9 }, (_, i) => [i % 2, i % 2]), [0, 1]];
    const { estimate, inference } = must(gwet(cells, [0, 1, 2, 3, 4, 5], 'identity'));
    const { se, upper, p } = must(inference);
    // 2.262157 is the t quantile .975 with 9 degrees of freedom (tables).
    expect(estimate + 2.262 * se).toBeGreaterThan(1);
    expect(upper).toBe(1);
    // Two-sided t with n - 1 degrees of freedom.
    expect(p).toBe(twoSidedT(estimate / se, 9));
    expect(p).toBeLessThan(0.001);
  });
  test('without scatter between tasks AC1 has no p', () => {
    const { inference } = must(
      gwet(
        [
          [0, 0],
          [0, 0],
        ],
        [0, 1],
        'identity',
      ),
    );
    expect(must(inference).p).toBeUndefined();
  });
  test('other levels of confidence than the usual one', () => {
    const [a, b] = [
      { successes: 9, trials: 10 },
      { successes: 3, trials: 10 },
    ];
    const [narrow, wide] = [newcombe(a, b, 0.8), newcombe(a, b, 0.99)];
    expect(narrow?.limits[0]).toBeGreaterThan(newcombe(a, b)?.limits[0] ?? 1);
    expect(wide?.limits[0]).toBeLessThan(newcombe(a, b)?.limits[0] ?? -1);
  });
});

describe('when ratings have come to rest', () => {
  const twenty = Array.from({ length: 20 }, (_, j) => (j < 10 ? 1 : 4));
  /** The first `n` of the ten low ratings one step up. */
  const moved = (n: number): number[] => twenty.map((x, j) => (j < n ? x + 1 : x));

  test('up to 15 % of the ratings may move, not more', () => {
    const advice = (n: number) => stoppingAdvice([taskStability(twenty, moved(n))], 1, 3);
    expect([advice(3), advice(4)]).toEqual(['stable-disagreement', 'another-round']);
    // 5 of 28 are 17.9 %.
    const [before, after] = [
      [...twenty, ...twenty.slice(6, 14)],
      [...moved(5), ...twenty.slice(6, 14)],
    ];
    expect(stoppingAdvice([taskStability(before, after)], 1, 3)).toBe('another-round');
  });
  test('the median may move by half a step, not more', () => {
    const stability = (medianChange: number) => ({
      n: 20,
      shareChanged: 0.1,
      meanAbsoluteChange: 0.1,
      medianChange,
      histogramChange: 0.1,
    });
    const advice = (x: number) => stoppingAdvice([stability(x)], 1, 3);
    expect([advice(0.5), advice(-0.5), advice(0.6), advice(-0.6)]).toEqual([
      'stable-disagreement',
      'stable-disagreement',
      'another-round',
      'another-round',
    ]);
  });
  test('at the limit of rounds there is no other', () => {
    const restless = [taskStability(twenty, moved(10))];
    expect([1, 2, 3].map((round) => stoppingAdvice(restless, round, 2))).toEqual([
      'another-round',
      'round-limit',
      'round-limit',
    ]);
    expect(stoppingAdvice([], 1, 2)).toBe('settled');
  });
});

describe('rating-scale model at its edges', () => {
  const at = (task: number, reviewer: number, category: number): FacetRating => ({
    task,
    reviewer,
    category,
  });
  const square = [at(0, 0, 0), at(0, 1, 1), at(1, 0, 1), at(1, 1, 0), at(0, 2, 1), at(1, 2, 1)];

  test('two tasks and two reviewers on two points are enough', () => {
    // Each task and each reviewer has half: everything at 0, log-likelihood 4 log(1/2).
    const found = ratingScaleModel(square.slice(0, 4), 2, 2, 1);
    expect(found?.converged).toBe(true);
    expect(found?.task).toHaveLength(2);
    for (const x of [...(found?.task ?? []), ...(found?.severity ?? []), ...(found?.steps ?? [])]) {
      expect(x).toBeCloseTo(0, 9);
    }
    expect(found?.logLikelihood).toBeCloseTo(4 * Math.log(0.5), 9);
    expect(found?.reviewerFit[0]).toEqual({ infit: 1, outfit: 1 });
  });
  test('one task, one reviewer, or a point between the ends that nobody used: no fit', () => {
    expect(ratingScaleModel([at(0, 0, 0), at(0, 1, 1)], 1, 2, 1)).toBeUndefined();
    expect(ratingScaleModel([at(0, 0, 0), at(0, 0, 1), at(1, 0, 0), at(1, 0, 1)], 2, 1, 1)).toBe(
      undefined,
    );
    expect(ratingScaleModel(square.slice(0, 4), 2, 2, 2)).toBeUndefined();
  });
  test('a task at one end only is left out and the others keep their places', () => {
    const all = [at(0, 0, 1), at(0, 1, 1), at(2, 0, 0), at(2, 1, 1), at(3, 0, 1), at(3, 1, 0)];
    const found = ratingScaleModel([...all, at(1, 0, 0), at(1, 1, 0)], 4, 2, 1);
    expect(found?.task.map((x) => x !== undefined)).toEqual([false, false, true, true]);
    expect(found?.taskFit.map((x) => x !== undefined)).toEqual([false, false, true, true]);
  });
});
