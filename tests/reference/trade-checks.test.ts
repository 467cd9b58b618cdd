import { describe, expect, test } from 'vitest';
import { newcombe, wilson } from '../../server/src/consensus/proportion-interval.ts';
import type { CardanOrder } from '../../shared-types/src/index.ts';
import { fromCardan, toCardan } from '../../server/src/measures/cardan.ts';
import {
  atLeast,
  compressionFigures,
  DEPTH_TARGET_MM,
  pauseFlagged,
  RATE_TARGET,
  withinTarget,
} from '../../server/src/measures/compressions.ts';
import { headMotion } from '../../server/src/measures/head-motion.ts';
import { referenceComparison } from '../../server/src/measures/reference-comparison.ts';
import { helicalAngle, IDENTITY } from '../../server/src/measures/rotation.ts';
import { mergeGroups, welchDifference } from '../../server/src/measures/welch.ts';
import { printed } from '../support/check-list.ts';
import { must } from '../support/expect-figure.ts';

/** Values for checking the measures, by our own ids; each title names the source. Angles in degrees. */
const rad = (degrees: number): number => (degrees * Math.PI) / 180;
const deg = (radians: number): number => (radians * 180) / Math.PI;
const compressions = (times: number[]) =>
  times.map((seconds) => ({
    seconds,
    depthMm: undefined,
    released: undefined,
    handCorrect: undefined,
  }));

describe('compressions', () => {
  test('C01 rate 100 to 120 a minute, ends included (AHA BLS table)', () => {
    for (const [interval, rate] of [
      [0.6, 100],
      [0.5, 120],
    ] as const) {
      const found = compressionFigures(compressions([0, interval, 2 * interval]));
      printed(must(found.rate), rate, 9, 'rate');
      expect(withinTarget(must(found.rate), RATE_TARGET)).toBe(true);
    }
    expect(withinTarget(99, RATE_TARGET)).toBe(false);
    expect(withinTarget(121, RATE_TARGET)).toBe(false);
  });
  test('C02 depth 50 to 60 mm, ends included; two inches are 50.8 mm (AHA BLS table)', () => {
    expect([49.9, 50, 60, 60.1].map((d) => withinTarget(d, DEPTH_TARGET_MM))).toEqual([
      false,
      true,
      true,
      false,
    ]);
    expect(2 * 25.4).toBeCloseTo(50.8, 10);
    expect(withinTarget(2.4 * 25.4, DEPTH_TARGET_MM)).toBe(false);
  });
  test('C04 a pause of 10.0 s is not flagged, 10.1 s is (AHA BLS table)', () => {
    // One compression is half a second of the gap.
    const pause = (gap: number): number =>
      must(compressionFigures(compressions([0, 0.5, 0.5 + gap, 1 + gap])).longestPause);
    expect(pauseFlagged(pause(10.5))).toBe(false);
    expect(pauseFlagged(pause(10.6))).toBe(true);
  });
  const cycles = (n: number, rate: number, pause: number, count: number) => {
    const interval = 60 / rate;
    const cycle = n * interval + pause;
    const times = Array.from(
      { length: n * count },
      (_, i) => Math.floor(i / n) * cycle + (i % n) * interval,
    );
    return must(compressionFigures(compressions(times), { from: 0, to: count * cycle }).fraction);
  };
  test('C05 thirty at 110 a minute, then 5 s, repeated: 76.60 % (computed)', () => {
    printed(100 * cycles(30, 110, 5, 4), 76.6, 2, 'fraction');
    printed(100 * cycles(30, 110, 5, 1), 76.6, 2, 'fraction of one cycle');
  });
  test('C06 thirty at 120 a minute, then 10 s: exactly 60 %, which is 60 or more (computed)', () => {
    printed(cycles(30, 120, 10, 5), 0.6, 12, 'fraction');
    for (const count of [1, 2, 3, 5, 7]) {
      expect(atLeast(cycles(30, 120, 10, count), 0.6)).toBe(true);
    }
    expect(atLeast(0.5999, 0.6)).toBe(false);
  });
});

describe('shares with Wilson limits', () => {
  test.each([
    ['C07 Gale 2008', 75, 76, 0.986842, 0.929163, 0.997674],
    ['C08 Swartz 2010', 48, 48, 1, 0.9259, 1],
    ['C09 Swartz 2010', 47, 48, 0.979167, 0.891008, 0.996313],
    ['C10 Swartz 2010', 35, 48, 0.729167, 0.59003, 0.83434],
    ['C11 Copeland 2007', 300, 300, 1, 0.987357, 1],
    ['C11 Copeland 2007', 298, 300, 0.993333, 0.976022, 0.99817],
  ])('%s: %i of %i', (_, successes, trials, share, lower, upper) => {
    const limits = wilson(successes, trials) ?? expect.fail('no limits');
    printed(successes / trials, share, 6, 'share');
    printed(limits[0], lower, 5, 'lower');
    printed(limits[1], upper, 5, 'upper');
  });
  test.each([
    [1, 29, 0.0061, 0.1718],
    [15, 148, 0.0624, 0.1605],
  ])('C12 Newcombe 1998 (from memory): %i of %i', (successes, trials, lower, upper) => {
    const limits = wilson(successes, trials) ?? expect.fail('no limits');
    printed(limits[0], lower, 4, 'lower');
    printed(limits[1], upper, 4, 'upper');
  });
  test.each([
    ['C13 Newcombe 1998 (from memory)', [56, 70], [48, 80], 0.2, 0.0524, 0.3339, 4],
    ['C14 counts of Swartz 2010', [35, 48], [48, 48], -0.270833, -0.40997, -0.142177, 6],
  ] as const)('%s: difference of shares', (_, a, b, difference, lower, upper, digits) => {
    const of = ([successes, trials]: readonly [number, number]) => ({ successes, trials });
    const found = newcombe(of(a), of(b)) ?? expect.fail('no difference');
    printed(found.difference, difference, digits, 'difference');
    printed(found.limits[0], lower, digits, 'lower');
    printed(found.limits[1], upper, digits, 'upper');
  });
});

describe('means', () => {
  const combined = { n: 300, mean: 37.84, sd: 15.37 };
  const cutter = { n: 300, mean: 51.21, sd: 19.54 };
  test('C15 Copeland 2007: mean difference, Welch', () => {
    const found = must(welchDifference(combined, cutter));
    printed(found.difference, -13.37, 2, 'difference');
    printed(found.se, 1.4353, 4, 'standard error');
    printed(found.df, 566.6, 1, 'degrees of freedom');
    printed(found.difference - 1.959964 * found.se, -16.183, 3, 'lower, normal');
    printed(found.difference + 1.959964 * found.se, -10.557, 3, 'upper, normal');
  });
  test('C16 Copeland 2007: the two groups as one (the paper prints 44.51 and 18.79 from unrounded inputs)', () => {
    const merged = mergeGroups([combined, cutter]) ?? expect.fail('no groups');
    printed(merged.mean, 44.525, 3, 'mean');
    printed(merged.sd, 18.796, 3, 'standard deviation');
    expect(mergeGroups([])).toBeUndefined();
    expect(mergeGroups([{ n: 1, mean: 3, sd: 0 }])).toEqual({ n: 1, mean: 3, sd: 0 });
  });
  test.each([
    ['C27 Bowman 2022: first compression', 49.6, 16.1, 33.5, 3.08, 1],
    ['C28 Luscombe and Williams 2003: head-up tilt', 23.3, 6.66, 16.64, 3.5, 2],
  ])('%s, difference and ratio', (_, equipment, reference, difference, ratio, digits) => {
    const of = (condition: 'equipment' | 'reference', value: number) =>
      ['a', 'b'].map((operator) => ({ operator, condition, value, censored: false }));
    const found = referenceComparison([
      ...of('equipment', equipment),
      ...of('reference', reference),
    ]);
    printed(must(found.difference).mean, difference, digits, 'difference');
    printed(must(found.ratio), ratio, 2, 'ratio');
  });
});

describe('rotations, of the head on the torso', () => {
  const turned = (order: CardanOrder, a: number, b: number, c: number) =>
    fromCardan(order, [rad(a), rad(b), rad(c)]);
  const rss = (...x: number[]): number => Math.hypot(...x);
  const motion = (...poses: [number, number, number][]) => {
    const planes = { flexion: 'z', sideBending: 'x', rotation: 'y' } as const;
    const series = headMotion({ rate: 1, order: 'zxy', planes, tracked: 'head' });
    poses.forEach(([fe, lb, ar], i) =>
      series.add({ seconds: i, head: turned('zxy', fe, lb, ar), torso: IDENTITY }),
    );
    return series.end();
  };

  test('C17 Rz(10) Rx(5) Ry(3), and the reverse order (computed)', () => {
    const q = turned('zxy', 10, 5, 3);
    printed(deg(helicalAngle(q)), 11.6844, 4, 'helical');
    printed(rss(10, 5, 3), 11.5758, 4, 'root of squares');
    printed(deg(helicalAngle(turned('yxz', 3, 5, 10))), 11.4582, 4, 'helical, reversed');
    const angles = toCardan('zxy', q) ?? expect.fail('gimbal');
    [10, 5, 3].forEach((angle, i) => printed(deg(angles[i] ?? 0), angle, 9, 'angle'));
  });
  test('C18 Rz(20) Rx(-8) Ry(6): the helical angle below the root of squares (computed)', () => {
    printed(deg(helicalAngle(turned('zxy', 20, -8, 6))), 21.9584, 4, 'helical');
    printed(rss(20, 8, 6), 22.3607, 4, 'root of squares');
  });
  test('C19 two samples: excursion, ranges and their root (computed)', () => {
    const pair = motion([0, 0, 0], [10, 5, 3], [-4, 2, -6]);
    printed(must(pair.excursion).degrees, 17.3471, 4, 'excursion');
    printed(must(pair.planes).flexion.range, 14, 9, 'flexion range');
    printed(must(pair.planes).rotation.range, 9, 9, 'rotation range');
    printed(rss(14, 3, 9), 16.9115, 4, 'root of squared ranges');
  });
  test('C20 a pure 30 degrees: all three resultants agree; no turn is no angle and no NaN', () => {
    const found = motion([0, 0, 0], [30, 0, 0]);
    printed(must(found.helical).degrees, 30, 4, 'helical');
    printed(must(found.excursion).degrees, 30, 4, 'excursion');
    printed(must(found.rss), 30, 4, 'root of squares');
    const still = motion([0, 0, 0], [0, 0, 0]);
    expect(must(still.helical).degrees).toBe(0);
    expect(must(still.excursion).degrees).toBe(0);
    expect(must(still.rss)).toBe(0);
  });
  test('C21 the lift of a conference abstract: 12.77, 6.22, 8.79', () => {
    printed(rss(12.77, 6.22, 8.79), 16.7041, 4, 'root of squares');
    printed(deg(helicalAngle(turned('zxy', 12.77, 6.22, 8.79))), 17.0486, 4, 'helical');
  });
});
