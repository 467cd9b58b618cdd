import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { angleBetween, type Rotation } from './rotation.ts';

/** Unit quaternions one after the other, scalar first: w, x, y, z, w, x ... */
export type PackedRotations = Float64Array;

/** Comparisons after which the search gives up rather than hold the machine. */
const MAX_PAIRS = 200_000_000;

/** Cosine of half the angle between two packed rotations; q and -q are one rotation. */
const closeness = (q: PackedRotations, a: number, b: number): number =>
  Math.abs(
    (q[4 * a] ?? 0) * (q[4 * b] ?? 0) +
      (q[4 * a + 1] ?? 0) * (q[4 * b + 1] ?? 0) +
      (q[4 * a + 2] ?? 0) * (q[4 * b + 2] ?? 0) +
      (q[4 * a + 3] ?? 0) * (q[4 * b + 3] ?? 0),
  );

const angle = (cosine: number): number => 2 * Math.acos(Math.min(1, cosine));

const unpacked = (q: PackedRotations, i: number): Rotation => ({
  w: q[4 * i] ?? 1,
  x: q[4 * i + 1] ?? 0,
  y: q[4 * i + 2] ?? 0,
  z: q[4 * i + 3] ?? 0,
});

const furthestFrom = (q: PackedRotations, n: number, from: number): number => {
  let found = from;
  let least = Infinity;
  for (let i = 0; i < n; i += 1) {
    const c = closeness(q, from, i);
    if (c < least) [found, least] = [i, c];
  }
  return found;
};

/** The rotation half-way between two, packed as the only one. */
const midpoint = (q: PackedRotations, a: number, b: number): PackedRotations => {
  let dot = 0;
  for (let k = 0; k < 4; k += 1) dot += (q[4 * a + k] ?? 0) * (q[4 * b + k] ?? 0);
  const sign = dot < 0 ? -1 : 1;
  const sum = [0, 1, 2, 3].map((k) => (q[4 * a + k] ?? 0) + sign * (q[4 * b + k] ?? 0));
  const length = Math.hypot(...sum) || 1;
  return Float64Array.from(sum, (x) => x / length);
};

/**
 * Largest angle between any two samples, radians, and which two. Exact: every pair that could beat the best so far is
 * compared. The angle of two rotations is a distance, so a pair can be no further apart than the sum of its distances
 * from a centre; samples are taken outermost first, and the search ends where that sum falls below the best. No
 * figure without samples, or when that would take more than 200 million comparisons.
 */
export const largestExcursion = (
  q: PackedRotations,
): Figure<{ radians: number; between: [number, number] }> => {
  const n = Math.floor(q.length / 4);
  if (n === 0) return noFigure('no sample');
  const a = furthestFrom(q, n, 0);
  const b = furthestFrom(q, n, a);
  const both = new Float64Array(4 * n + 4);
  both.set(q.subarray(0, 4 * n));
  both.set(midpoint(q, a, b), 4 * n);
  const radius = Float64Array.from({ length: n }, (_, i) => angle(closeness(both, i, n)));
  const outermost = Uint32Array.from({ length: n }, (_, i) => i).sort(
    (i, j) => (radius[j] ?? 0) - (radius[i] ?? 0),
  );
  let best: [number, number] = [Math.min(a, b), Math.max(a, b)];
  let least = closeness(q, a, b);
  let reach = angle(least);
  let pairs = 0;
  const outer = (place: number): number => radius[outermost[place] ?? 0] ?? 0;
  for (let i = 1; i < n && outer(i) + outer(0) >= reach; i += 1) {
    // Outermost first: from the first sum below the best on, every sum is smaller still.
    for (let j = 0; j < i && outer(i) + outer(j) >= reach; j += 1) {
      const [one, other] = [outermost[i] ?? 0, outermost[j] ?? 0];
      const c = closeness(q, one, other);
      pairs += 1;
      if (c >= least) continue;
      [best, least, reach] = [[Math.min(one, other), Math.max(one, other)], c, angle(c)];
    }
    if (pairs > MAX_PAIRS) return noFigure('the samples lie too evenly to compare all pairs');
  }
  return figure({
    radians: angleBetween(unpacked(q, best[0]), unpacked(q, best[1])),
    between: best,
  });
};
