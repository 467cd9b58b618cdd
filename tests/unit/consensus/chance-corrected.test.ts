import { describe, expect, test } from 'vitest';
import { agreementWeights } from '../../../server/src/consensus/agreement-weights.ts';
import { brennanPrediger } from '../../../server/src/consensus/brennan-prediger.ts';
import { cohenKappa } from '../../../server/src/consensus/cohen-kappa.ts';
import { fleiss } from '../../../server/src/consensus/fleiss.ts';
import { gwet } from '../../../server/src/consensus/gwet.ts';
import { pairAgreement } from '../../../server/src/consensus/pair-agreement.ts';
import { expectFigure, must } from '../../support/expect-figure.ts';

const POINTS = [0, 1, 2, 3, 4, 5];
const SAME = [
  [2, 2],
  [2, 2],
  [2, 2],
];
const BETWEEN = 'a rating lies between the points of the scale';

describe('weights on 0 to 5', () => {
  test.each([
    ['identity', [1, 0, 0, 0, 0, 0]],
    ['linear', [1, 0.8, 0.6, 0.4, 0.2, 0]],
    ['quadratic', [1, 0.96, 0.84, 0.64, 0.36, 0]],
    ['ordinal', [1, 14 / 15, 12 / 15, 9 / 15, 5 / 15, 0]],
  ] as const)('%s', (scheme, row) => {
    agreementWeights(6, scheme)[0]?.forEach((w, i) => {
      expect(w).toBeCloseTo(row[i] ?? NaN, 12);
    });
  });
  test('a scale of one point is none', () => {
    expect(() => agreementWeights(1, 'linear')).toThrow(RangeError);
  });
});

describe('nothing to correct for', () => {
  test('every rating the same: kappa is undefined, AC and BP are 1', () => {
    const why = 'no variation: chance alone would agree fully';
    expect(fleiss(SAME, POINTS, 'identity')).toEqual({ ok: false, why });
    expect(
      cohenKappa(
        [
          [2, 2],
          [2, 2],
        ],
        POINTS,
        'quadratic',
      ),
    ).toEqual({ ok: false, why });
    const ac = must(gwet(SAME, POINTS, 'quadratic'));
    expect(ac.estimate).toBe(1);
    expect(must(ac.inference)).toEqual({ se: 0, lower: 1, upper: 1, p: undefined });
    expect(must(brennanPrediger(SAME, POINTS, 'identity')).estimate).toBe(1);
  });
  test('no task rated twice', () => {
    const why = 'no task with two ratings';
    expect(gwet([[1, undefined]], POINTS, 'identity')).toEqual({ ok: false, why });
    expect(fleiss([], POINTS, 'identity')).toEqual({ ok: false, why });
    expect(brennanPrediger([[]], POINTS, 'identity')).toEqual({ ok: false, why });
    expect(cohenKappa([], POINTS, 'identity')).toEqual({
      ok: false,
      why: 'no task was rated by both',
    });
  });
  test('half points are not on the scale', () => {
    expect(gwet([[1.5, 2]], POINTS, 'linear')).toEqual({ ok: false, why: BETWEEN });
    expect(cohenKappa([[1.5, 2]], POINTS, 'linear')).toEqual({ ok: false, why: BETWEEN });
  });
  test('one task alone has an estimate but no standard error', () => {
    const ac = must(gwet([[1, 2, 1]], POINTS, 'quadratic'));
    expect(ac.inference).toEqual({ ok: false, why: 'one task alone has no standard error' });
  });
  test('unequal numbers of ratings, or weights: no test of Fleiss', () => {
    const cells = [
      [1, 2, 1],
      [3, 3, undefined],
      [0, 5, 5],
    ];
    expect(must(fleiss(cells, POINTS, 'identity')).test.ok).toBe(false);
    expect(must(fleiss(cells.slice(2), POINTS, 'linear')).test.ok).toBe(false);
  });
  test('a rater of one point only: kappa is 0 and has no test', () => {
    const kappa = must(
      cohenKappa(
        [
          [3, 1],
          [3, 3],
          [3, 4],
        ],
        POINTS,
        'identity',
      ),
    );
    expect(kappa.estimate).toBeCloseTo(0, 12);
    expect(kappa.test.ok).toBe(false);
  });
});

test('alike tasks and raters who agree: AC2 stays high where kappa collapses', () => {
  const cells = [...Array.from({ length: 18 }, () => [0, 0]), [0, 1], [1, 0]];
  expect(must(gwet(cells, POINTS, 'quadratic')).estimate).toBeGreaterThan(0.95);
  expect(must(fleiss(cells, POINTS, 'quadratic')).estimate).toBeLessThan(0);
});

describe('pairs within a tolerance', () => {
  const cells = [
    [0, 1, 5],
    [2, 2, undefined],
    [4, undefined, undefined],
  ];
  test('by hand: one of three pairs of the first task, the pair of the second', () => {
    expect(must(pairAgreement(cells, 1))).toEqual({
      pooled: 2 / 4,
      meanOverTasks: (1 / 3 + 1) / 2,
      tasksWithin: 1 / 2,
      pairs: 4,
    });
  });
  test('exact pairs', () => {
    expectFigure({ ok: true, value: must(pairAgreement(cells, 0)).pooled }, 1 / 4, 'exact');
  });
  test('no pair, no figure', () => {
    expect(pairAgreement([[1, undefined]], 1)).toEqual({
      ok: false,
      why: 'no task with two ratings',
    });
  });
});
