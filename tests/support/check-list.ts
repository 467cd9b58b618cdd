import { appendFileSync } from 'node:fs';
import { expect } from 'vitest';

/** One comparison with a published or independently computed value. */
export interface Check {
  /** File of the test; a family of checks. */
  family: string;
  /** Title of the test, which names the source. */
  test: string;
  what: string;
  expected: number;
  got: number;
  error: number;
  tolerance: number;
}

/** Where checks are kept for the list; undefined in ordinary runs. */
const LIST = process.env['CHECK_LIST'];

/** Keeps one comparison for the printed list; errors are as the comparison measured them. */
export const keepCheck = (
  check: Pick<Check, 'what' | 'expected' | 'got' | 'error' | 'tolerance'>,
) => {
  if (LIST === undefined) return;
  const { currentTestName = '', testPath = '' } = expect.getState();
  const family = /([^/\\]+)\.test\.ts$/u.exec(testPath)?.[1] ?? testPath;
  appendFileSync(LIST, `${JSON.stringify({ family, test: currentTestName, ...check })}\n`);
};

/** Compares with a value printed to `decimals` places: half of the last digit may differ. */
export const printed = (got: number, expected: number, decimals: number, what = 'value'): void => {
  const error = Math.abs(got - expected);
  const tolerance = 0.5 * 10 ** -decimals;
  keepCheck({ what, expected, got, error, tolerance });
  expect(error, `${what}: got ${String(got)}, printed ${String(expected)}`).toBeLessThan(tolerance);
};
