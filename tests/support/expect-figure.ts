import { expect } from 'vitest';
import type { Figure } from '../../server/src/consensus/figure.ts';
import { near } from './reference.ts';

/** The figure's value must be the expected one; an expected null asks for a reason instead. */
export const expectFigure = (
  found: Figure | undefined,
  expected: number | null | undefined,
  what: string,
  tolerance = 1e-9,
): void => {
  if (expected === null || expected === undefined) {
    expect(found?.ok, `${what}: expected no figure`).toBe(false);
    return;
  }
  near(found?.ok ? found.value : undefined, expected, what, tolerance);
};

/** The value of a figure that must be there. */
export const must = <T>(found: Figure<T>): T => {
  if (!found.ok) throw new Error(`no figure: ${found.why}`);
  return found.value;
};
