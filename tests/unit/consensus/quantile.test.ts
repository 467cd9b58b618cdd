import { describe, expect, test } from 'vitest';
import { median, quantile } from '../../../server/src/consensus/quantile.ts';

describe('quantile, type 7', () => {
  // h = (n - 1) p + 1 worked by hand on 1, 2, 4, 8: p = 0.3 lies 0.9 beyond the first value.
  test.each([
    [0, 1],
    [0.3, 1.9],
    [0.5, 3],
    [0.75, 5],
    [1, 8],
  ])('share %d of 8, 1, 4, 2', (p, expected) => {
    expect(quantile([8, 1, 4, 2], p)).toBeCloseTo(expected, 12);
  });
  test('of one value is that value', () => {
    expect(quantile([2.5], 0.3)).toBe(2.5);
  });
  test('of nothing there is none', () => {
    expect(quantile([], 0.5)).toBeUndefined();
  });
  test.each([-0.01, 1.01, NaN])('share %d is refused', (p) => {
    expect(() => quantile([1, 2], p)).toThrow(RangeError);
  });
});

describe('median', () => {
  test.each([
    [[3], 3],
    [[0, 5], 2.5],
    [[5, 0, 1], 1],
    [[4, 4, 1, 0], 2.5],
    [[10, 9, 2], 9],
  ])('of %j is %d', (values, expected) => {
    expect(median(values)).toBe(expected);
  });
  test('leaves the given ratings in their order', () => {
    const values = [3, 1, 2];
    median(values);
    expect(values).toEqual([3, 1, 2]);
  });
});
