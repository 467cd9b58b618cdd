import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fromCardan, toCardan } from '../../../server/src/measures/cardan.ts';
import { headMotion } from '../../../server/src/measures/head-motion.ts';
import type { MotionPlan } from '../../../shared-types/src/index.ts';
import { largestExcursion } from '../../../server/src/measures/largest-excursion.ts';
import {
  angleBetween,
  fromMatrix,
  helicalAngle,
  IDENTITY,
  matrixError,
  toMatrix,
  unit,
  type Rotation,
} from '../../../server/src/measures/rotation.ts';
import { seriesGaps } from '../../../server/src/measures/series-gaps.ts';
import { thinSeries } from '../../../server/src/measures/thin-series.ts';
import { must } from '../../support/expect-figure.ts';

const PLAN: MotionPlan = {
  rate: 10,
  order: 'zxy',
  planes: { flexion: 'z', sideBending: 'x', rotation: 'y' },
  tracked: 'head',
};
const rad = (degrees: number): number => (degrees * Math.PI) / 180;
const pose = (fe: number, lb: number, ar: number): Rotation =>
  fromCardan('zxy', [rad(fe), rad(lb), rad(ar)]);
const series = (poses: Rotation[], plan = PLAN) => {
  const motion = headMotion(plan);
  poses.forEach((head, i) => motion.add({ seconds: i / 10, head, torso: IDENTITY }));
  return motion.end();
};

const part = fc.double({ min: -1, max: 1, noNaN: true });
const rotation = fc
  .record({ w: part, x: part, y: part, z: part })
  .filter((q) => Math.hypot(q.w, q.x, q.y, q.z) > 0.1)
  .map((q) => unit(q) as Rotation);

describe('rotations', () => {
  test('a quaternion and its negative, and its matrix, are one rotation', () => {
    fc.assert(
      fc.property(rotation, (q) => {
        const back = fromMatrix(toMatrix(q)) as Rotation;
        expect(angleBetween(back, q)).toBeLessThan(1e-9);
        const negative = { w: -q.w, x: -q.x, y: -q.y, z: -q.z };
        expect(angleBetween(negative, q)).toBeLessThan(1e-9);
        expect(matrixError(toMatrix(q))).toBeLessThan(1e-12);
      }),
      { seed: 61 },
    );
  });

  test('small angles keep their digits; nothing turned is no angle and no NaN', () => {
    expect(helicalAngle(pose(1e-7, 0, 0))).toBeCloseTo(rad(1e-7), 18);
    expect(helicalAngle(IDENTITY)).toBe(0);
    expect(unit({ w: 0, x: 0, y: 0, z: 0 })).toBeUndefined();
    expect(unit({ w: NaN, x: 0, y: 0, z: 0 })).toBeUndefined();
  });

  test('a mirrored or stretched matrix is told from a rotation', () => {
    expect(matrixError([1, 0, 0, 0, 1, 0, 0, 0, -1])).toBe(Infinity);
    expect(matrixError([1.1, 0, 0, 0, 1, 0, 0, 0, 1])).toBeCloseTo(0.21, 10);
    expect(matrixError([1, 0, 0])).toBe(Infinity);
  });

  test('past 80 degrees of the middle turn there are no angles', () => {
    expect(toCardan('zxy', pose(10, 79.9, 5))).toBeDefined();
    expect(toCardan('zxy', pose(10, 80.1, 5))).toBeUndefined();
    const found = series([IDENTITY, pose(0, 85, 0)]);
    expect(found.planes).toMatchObject({ ok: false, why: expect.stringMatching(/at 0\.10 s/u) });
    expect(found.rss.ok).toBe(false);
    expect(must(found.helical).degrees).toBeCloseTo(85, 8);
  });

  test('a turn past 180 degrees goes on instead of jumping', () => {
    const found = series([0, 60, 120, 170, 190, 200].map((ar) => pose(0, 0, ar)));
    expect(must(found.planes).rotation).toMatchObject({ least: 0 });
    expect(must(found.planes).rotation.range).toBeCloseTo(200, 8);
    expect(must(found.planes).rotation.change).toBeCloseTo(200, 8);
  });

  test('the largest excursion is that of all pairs, found without comparing them all', () => {
    fc.assert(
      fc.property(fc.array(rotation, { minLength: 1, maxLength: 25 }), (poses) => {
        const packed = Float64Array.from(poses.flatMap((q) => [q.w, q.x, q.y, q.z]));
        const all = Math.max(...poses.flatMap((a) => poses.map((b) => angleBetween(a, b))));
        expect(must(largestExcursion(packed)).radians).toBeCloseTo(all, 6);
      }),
      { seed: 62 },
    );
    expect(largestExcursion(new Float64Array(0))).toEqual({ ok: false, why: 'no sample' });
  });

  test('what was tracked, and against what, is said', () => {
    const motion = headMotion({ ...PLAN, tracked: 'helmet' });
    motion.add({ seconds: 0, head: IDENTITY, torso: undefined });
    expect(motion.end().notes).toEqual([
      expect.stringMatching(/helmet motion/u),
      expect.stringMatching(/motion in the room/u),
    ]);
    const planes = { ...PLAN.planes, flexion: 'x' as const };
    expect(() => headMotion({ ...PLAN, planes })).toThrow(/axis of its own/u);
    expect(headMotion(PLAN).end()).toMatchObject({ valid: false, planes: { ok: false } });
  });
});

describe('gaps of a series', () => {
  const at = (rate: number, ...seconds: number[]) => {
    const gaps = seriesGaps(rate);
    for (const s of seconds) gaps.add(s);
    return gaps.end();
  };

  test('a jump in time is as many samples as it leaps over', () => {
    expect(at(10, 0, 0.1, 0.2, 0.3)).toMatchObject({ samples: 4, missing: 0, gaps: [] });
    expect(at(10, 0, 0.1, 0.5)).toMatchObject({
      missing: 3,
      gaps: [{ from: 0.1, to: 0.5, missing: 3 }],
    });
    expect(at(10, 0, 0.14, 0.27), 'jitter is no gap').toMatchObject({ missing: 0 });
  });

  test('ME-6: more than a tenth missing is not valid; a tenth is', () => {
    const marked = (missing: number, samples: number) => {
      const gaps = seriesGaps(10);
      for (let i = 0; i < samples + missing; i += 1) {
        if (i > 0 && i <= missing) gaps.miss(i / 10);
        else gaps.add(i / 10);
      }
      return gaps.end();
    };
    expect(marked(2, 18)).toMatchObject({ gapShare: 0.1, valid: true, why: undefined });
    expect(marked(3, 18)).toMatchObject({ missing: 3, valid: false });
    expect(marked(3, 18).why).toBe('14.3 % of the samples are missing, more than a tenth');
    expect(marked(2, 18).gaps).toEqual([{ from: 0, to: 0.3, missing: 2 }]);
    expect(at(10, 0).why).toBe('fewer than two samples');
  });

  test('samples lost at the end count', () => {
    const gaps = seriesGaps(10);
    gaps.add(0);
    gaps.add(0.1);
    gaps.miss(0.2);
    expect(gaps.end()).toMatchObject({ samples: 2, missing: 1, valid: false });
  });
});

test('a thinned series keeps its ends and every stretch its peaks', () => {
  const values = Array.from({ length: 10_000 }, (_, i) => (i === 7777 ? 99 : Math.sin(i / 50)));
  const times = values.map((_, i) => i);
  const kept = thinSeries(times, values, 100);
  expect(kept.length).toBeLessThanOrEqual(202);
  expect(kept).toContainEqual({ seconds: 7777, value: 99 });
  expect(kept[0]?.seconds).toBe(0);
  expect(kept.at(-1)?.seconds).toBe(9999);
  expect(thinSeries([], [])).toEqual([]);
});
