import { expect, test } from 'vitest';
import { lockedBundle } from '../../support/locked-bundle.ts';

/**
 * The published formula, worked out by hand: C = sum(w_s m_s) / sum(w_s) over sections with a rated task, m_s the
 * mean of the section's settled values, w_s the section weight (A 6, D 14, E 13).
 */
test('EV-4 CO-2: a locked composite equals the one worked out by hand', async () => {
  const { panel } = await lockedBundle();
  const result = (await panel.live()).state.locked?.result;
  // A: fit-retention 0, 1, 2 adopted at its median 1; wear-comfort 1, 1, 1 at 1. Mean 1.
  // D: airway-open 2, 2, 4 left open at its median 2. Mean 2.
  // E: fm-tool-first decided at 2.5; fm-cut-backup without A, who has a tie to the cutter: 1, 2, median 1.5. Mean 2.
  const byHand = (6 * 1 + 14 * 2 + 13 * 2) / (6 + 14 + 13);
  expect(byHand).toBeCloseTo(60 / 33, 12);
  expect(result?.composite.value).toEqual({ value: '1.81818181818' });
  // 33 of the 100 weight points are rated: below 60, so provisional.
  expect(result?.composite).toMatchObject({ weightUsed: '0.33', provisional: true });
});

test('CO-3: the composite of the mean ratings and its interval equal the ones worked out by hand', async () => {
  const { panel } = await lockedBundle();
  const result = (await panel.live()).state.locked?.result;
  // The last ratings: A's fm-tool-first is 4 after the second round, and A does not count in fm-cut-backup.
  const means = { a: (1 + 1) / 2, d: 8 / 3, e: ((4 + 1 + 2) / 3 + 1.5) / 2 };
  const c = (6 * means.a + 14 * means.d + 13 * means.e) / 33;
  expect(Number((result?.means.value as { value: string }).value)).toBeCloseTo(c, 10);
  // One cell is absent, so jackknife pseudo-values: C without each reviewer in turn.
  const without = [
    (6 * ((1.5 + 1) / 2) + 14 * 3 + 13 * ((1.5 + 1.5) / 2)) / 33,
    (6 * ((1 + 1) / 2) + 14 * 3 + 13 * ((3 + 2) / 2)) / 33,
    (6 * ((0.5 + 1) / 2) + 14 * 2 + 13 * ((2.5 + 1) / 2)) / 33,
  ];
  const pseudo = without.map((w) => 3 * c - 2 * w);
  const mean = pseudo.reduce((s, x) => s + x, 0) / 3;
  const sd = Math.sqrt(pseudo.reduce((s, x) => s + (x - mean) ** 2, 0) / 2);
  // t quantile 0.975 with 2 degrees of freedom, from any printed table: 4.30265.
  const half = (4.30265273 * sd) / Math.sqrt(3);
  const interval = result?.means.interval as { lower: string; upper: string; method: string };
  expect(interval.method).toBe('jackknife-t');
  expect(Number(interval.lower)).toBeCloseTo(c - half, 7);
  expect(Number(interval.upper)).toBeCloseTo(c + half, 7);
});

test('GA-1 GA-2: the gate stands whatever the composite', async () => {
  const { panel } = await lockedBundle();
  const result = (await panel.live()).state.locked?.result;
  expect(result?.verdict.kind).toBe('no-confirmed-critical-failure');
});
