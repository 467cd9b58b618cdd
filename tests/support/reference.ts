import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import { keepCheck } from './check-list.ts';

/** A file of reference values; see fixtures/reference/SOURCES.md. */
export const reference = <T>(name: string): T =>
  JSON.parse(
    readFileSync(join(import.meta.dirname, '../../fixtures/reference', `${name}.json`), 'utf8'),
  ) as T;

/** Cells as the engine takes them: null becomes absent. */
export const cellsOf = (rows: (number | null)[][]): (number | undefined)[][] =>
  rows.map((row) => row.map((x) => x ?? undefined));

/** Compares to a relative tolerance (absolute near zero). `null` expects that there is no figure. */
export const near = (
  got: number | undefined,
  expected: number | null | undefined,
  what: string,
  tolerance = 1e-9,
): void => {
  if (expected === null || expected === undefined) {
    expect(got, what).toBeUndefined();
    return;
  }
  expect(got, `${what}: got ${String(got)}, expected ${String(expected)}`).toBeDefined();
  const error = Math.abs((got ?? Number.NaN) - expected) / Math.max(1, Math.abs(expected));
  keepCheck({ what, expected, got: got ?? Number.NaN, error, tolerance });
  expect(error, `${what}: got ${String(got)}, expected ${String(expected)}`).toBeLessThan(
    tolerance,
  );
};
