import { expect, test } from 'vitest';
import reference from '../../fixtures/reference/quantiles.json' with { type: 'json' };
import { keepCheck } from '../support/check-list.ts';
import {
  quantileF,
  tQuantile,
  twoSidedT,
  twoSidedZ,
  upperChi2,
  upperF,
  zQuantile,
} from '../../server/src/consensus/distributions.ts';

/** Expected: mpmath 1.2.1 at 40 digits, printed with 17. Tolerance 1e-11 relative. */
const TOLERANCE = 1e-11;
const relative = (found: number, expected: number, what: string): number => {
  const error = expected === 0 ? Math.abs(found) : Math.abs(found / expected - 1);
  keepCheck({ what, expected, got: found, error, tolerance: TOLERANCE });
  return error;
};

const quantiles: Record<string, (p: number, par: number[]) => number> = {
  t: (p, [df = NaN]) => tQuantile(p, df),
  f: (p, [df1 = NaN, df2 = NaN]) => quantileF(p, df1, df2),
  normal: (p) => zQuantile(p),
};

test.each(Object.keys(quantiles))('quantiles of %s, fractional degrees of freedom too', (dist) => {
  const points = reference.quantiles.filter((q) => q.dist === dist);
  expect(points.length).toBeGreaterThan(10);
  for (const { p, par, q } of points) {
    const found = quantiles[dist]?.(p, par) ?? NaN;
    const what = `${dist}(${par.join()}) at ${String(p)}`;
    expect(relative(found, Number(q), what), what).toBeLessThan(TOLERANCE);
  }
});

const tails: Record<string, (x: number, par: number[]) => number> = {
  f: (x, [df1 = NaN, df2 = NaN]) => upperF(x, df1, df2),
  t: (x, [df = NaN]) => twoSidedT(x, df),
  chisq: (x, [df = NaN]) => upperChi2(x, df),
  normal: (x) => twoSidedZ(x),
};

test.each(reference.tails)('$tail tail of $dist($par) beyond $x: no digit lost', (point) => {
  const found = tails[point.dist]?.(point.x, point.par) ?? NaN;
  const what = `${point.dist}(${point.par.join()}) beyond ${String(point.x)}`;
  expect(relative(found, Number(point.p), what)).toBeLessThan(TOLERANCE);
});

test('nothing lies above zero but everything', () => {
  expect(upperF(0, 3, 7)).toBe(1);
  expect(upperChi2(0, 3)).toBe(1);
  expect(twoSidedT(0, 5)).toBe(1);
});
