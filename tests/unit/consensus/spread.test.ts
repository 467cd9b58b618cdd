import { describe, expect, test } from 'vitest';
import { aWg } from '../../../server/src/consensus/a-wg.ts';
import {
  maximumDissensus,
  rWg,
  rWgJ,
  rWgTruncated,
  uniformNull,
} from '../../../server/src/consensus/r-wg.ts';
import {
  adMean,
  adMedian,
  interquartileRange,
  range,
} from '../../../server/src/consensus/spread.ts';
import { expectFigure } from '../../support/expect-figure.ts';

const scale = { min: 0, max: 5, better: 'lower' } as const;

describe('spread of one task', () => {
  test('of no rating there is none', () => {
    for (const f of [range, interquartileRange, adMean, adMedian]) expect(f([])).toBeUndefined();
  });
  test('of one rating, and of equal ones, it is 0', () => {
    for (const f of [range, interquartileRange, adMean, adMedian]) {
      expect(f([3])).toBe(0);
      expect(f([3, 3, 3])).toBe(0);
    }
  });
  test('by hand: 0, 1, 5', () => {
    expect(range([0, 1, 5])).toBe(5);
    expect(adMedian([0, 1, 5])).toBeCloseTo(5 / 3, 12);
    expect(adMean([0, 1, 5])).toBe(2);
    expect(interquartileRange([0, 1, 5])).toBe(2.5);
  });
});

describe('r_wg', () => {
  test('nulls on 0 to 5: 35/12 for the uniform one, 6.25 for a panel split between the ends', () => {
    expect(uniformNull(scale)).toBeCloseTo(35 / 12, 12);
    expect(maximumDissensus(scale)).toBe(6.25);
  });
  test('needs two ratings', () => {
    expect(rWg([3], scale)).toEqual({ ok: false, why: 'fewer than two ratings' });
    expect(rWgTruncated([], scale).ok).toBe(false);
  });
  test('keeps negative values unless asked to cut them', () => {
    // s^2 of 0, 5 is 12.5; 1 - 12.5 / (35/12) = -23/7.
    expectFigure(rWg([0, 5], scale), -23 / 7, 'raw');
    expectFigure(rWgTruncated([0, 5], scale), 0, 'truncated');
  });
  test('r_wg(J) by hand: two tasks of mean variance 1', () => {
    // share 12/35: 2 (23/35) / (2 (23/35) + 12/35) = 46/58.
    expectFigure(
      rWgJ(
        [
          [1, 3, 2],
          [2, 4, 3],
        ],
        scale,
      ),
      46 / 58,
      'J = 2',
    );
  });
  test('r_wg(J) rises with the number of tasks though they are no more alike', () => {
    const one = rWgJ([[1, 3, 2]], scale);
    const four = rWgJ(
      [
        [1, 3, 2],
        [1, 3, 2],
        [1, 3, 2],
        [1, 3, 2],
      ],
      scale,
    );
    if (!one.ok || !four.ok) throw new Error('no figure');
    expect(four.value).toBeGreaterThan(one.value);
  });
  test('r_wg(J) is 0 beyond the null and undefined without a task rated twice', () => {
    expectFigure(
      rWgJ(
        [
          [0, 5],
          [0, 5],
        ],
        scale,
      ),
      0,
      'beyond',
    );
    expect(rWgJ([[2], []], scale)).toEqual({ ok: false, why: 'no task with two ratings' });
  });
});

describe('a_wg', () => {
  test('full agreement is 1 in the middle and undefined at the end of the scale', () => {
    expectFigure(aWg([3, 3, 3, 3], scale), 1, 'middle');
    expect(aWg([0, 0, 0, 0], scale)).toEqual({
      ok: false,
      why: 'the mean lies too near an end of the scale',
    });
  });
  test('a panel split between the ends is -1', () => {
    expectFigure(aWg([0, 0, 5, 5], scale), -1, 'split');
  });
  test('needs two ratings', () => {
    expect(aWg([3], scale).ok).toBe(false);
  });
});
