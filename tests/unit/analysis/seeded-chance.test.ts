import { describe, expect, test } from 'vitest';
import { mixedSeed, scramble } from '../../../server/src/analysis/mixed-seed.ts';
import { seededChance } from '../../../server/src/analysis/seeded-chance.ts';

const SEEDS = 10_000;
/** The number at place `at` of the stream of every seed from 0 to 9,999. */
const drawn = (at: number): number[] =>
  Array.from({ length: SEEDS }, (_, seed) => {
    const next = seededChance(seed).stream();
    for (let i = 0; i < at; i++) next();
    return next();
  });
const mean = (xs: readonly number[]): number => xs.reduce((a, b) => a + b, 0) / xs.length;
/** Largest distance between the empirical distribution and the uniform one. */
const kolmogorov = (xs: readonly number[]): number => {
  const sorted = xs.toSorted((a, b) => a - b);
  const n = sorted.length;
  return Math.max(...sorted.map((x, i) => Math.max((i + 1) / n - x, x - i / n)));
};
const correlation = (xs: readonly number[], ys: readonly number[]): number => {
  const [mx, my] = [mean(xs), mean(ys)];
  const of = (a: readonly number[], ma: number, b: readonly number[], mb: number): number =>
    mean(a.map((x, i) => (x - ma) * ((b[i] ?? Number.NaN) - mb)));
  return of(xs, mx, ys, my) / Math.sqrt(of(xs, mx, xs, mx) * of(ys, my, ys, my));
};

describe.each([
  ['first', 0],
  ['second', 1],
  ['tenth', 9],
])('the %s number of the seeds 0 to 9,999', (_, at) => {
  const xs = drawn(at);
  test('lies as a uniform one does: Kolmogorov-Smirnov below the 1 % point, 1.628 / sqrt(n)', () => {
    expect(kolmogorov(xs)).toBeLessThan(1.628 / Math.sqrt(SEEDS));
  });
  test('has the moments 1/2, 1/12 and 1/80 within 2.58 standard errors', () => {
    const within = (found: number, expected: number, variance: number): void =>
      expect(Math.abs(found - expected)).toBeLessThan(2.576 * Math.sqrt(variance / SEEDS));
    within(mean(xs), 1 / 2, 1 / 12);
    within(mean(xs.map((x) => (x - 0.5) ** 2)), 1 / 12, 1 / 180);
    within(mean(xs.map((x) => (x - 0.5) ** 4)), 1 / 80, 1 / 2304 - 1 / 6400);
  });
  test('does not follow that of the seed before', () => {
    const limit = 2.576 / Math.sqrt(SEEDS - 1);
    expect(Math.abs(correlation(xs.slice(1), xs.slice(0, -1)))).toBeLessThan(limit);
  });
});

test('the second number does not follow the first', () => {
  expect(Math.abs(correlation(drawn(0), drawn(1)))).toBeLessThan(2.576 / Math.sqrt(SEEDS));
});

test('scrambling as MurmurHash3 does: the empty text under the seeds 0, 1 and 2^32 - 1', () => {
  const unsigned = [0, 1, 0xffffffff].map((seed) => scramble(seed) >>> 0);
  expect(unsigned).toEqual([0, 0x514e28b7, 0x81f16f39]);
});

test('a seed and the same one plus 2^32 are one seed, and no other state is shared', () => {
  expect(mixedSeed(7 + 2 ** 32)).toEqual(mixedSeed(7));
  const states = new Set(Array.from({ length: SEEDS }, (_, seed) => mixedSeed(seed).join()));
  expect(states.size).toBe(SEEDS);
});

test('a stream starts anew', () => {
  const chance = seededChance(20260101);
  const first = chance.stream();
  const second = chance.stream();
  expect([first(), first(), first()]).toEqual([second(), second(), second()]);
});
