import { describe, expect, test } from 'vitest';
import { compensatedSum } from '../../../server/src/consensus/compensated-sum.ts';
import { mean, variance } from '../../../server/src/consensus/mean.ts';

describe('sum', () => {
  test('what cancels does not take the rest with it', () => {
    expect(compensatedSum([1e16, 1, -1e16])).toBe(1);
    expect(compensatedSum([1, 1e100, 1, -1e100])).toBe(2);
  });
  test('of nothing is 0', () => {
    expect(compensatedSum([])).toBe(0);
  });
});

describe('mean', () => {
  test('of nothing there is none', () => {
    expect(mean([])).toBeUndefined();
  });
  test('of equal values is exactly that value', () => {
    for (const x of [0.1, 0.2, 0.35, 1 / 3, -4.4]) {
      expect(mean([x, x, x])).toBe(x);
      expect(mean([x, x, x, x, x, x, x])).toBe(x);
    }
  });
  test('of ten tenths in any order is a tenth', () => {
    expect(mean([0.3, 0.1, 0.2, 0.1, 0.05, 0.05, 0.1, 0.05, 0.025, 0.025])).toBe(0.1);
  });
});

describe('variance', () => {
  test('needs two values', () => {
    expect(variance([])).toBeUndefined();
    expect(variance([3])).toBeUndefined();
  });
  test('of equal values is exactly 0', () => {
    expect(variance([0.1, 0.1, 0.1])).toBe(0);
  });
  test('corrects for a mean that cannot be written', () => {
    // The mean 2^53 + 1 falls between two doubles; the values lie one from it on either side.
    expect(variance([2 ** 53, 2 ** 53 + 2])).toBe(2);
  });
  // NIST StRD "NumAcc4": mean 10000000.2, standard deviation 0.1 (certified; 1001 values, from memory).
  test('keeps its digits on a large offset', () => {
    const pairs = Array.from({ length: 500 }, () => [10_000_000.1, 10_000_000.3]).flat();
    const values = [10_000_000.2, ...pairs];
    expect(mean(values)).toBeCloseTo(10_000_000.2, 8);
    expect(Math.sqrt(variance(values) ?? NaN)).toBeCloseTo(0.1, 7);
  });
});
