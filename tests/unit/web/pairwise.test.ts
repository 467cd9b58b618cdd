import { expect, test } from 'vitest';
import { everyCombination, pairwise } from '../../support/pairwise.ts';

const factors = {
  screen: Array.from({ length: 20 }, (_, i) => `s${String(i)}`),
  mode: ['light', 'dark', 'sun'],
  width: ['360', '1280', '1920'],
  text: ['100', '200'],
};

test('every value meets every value of the other factors, in far fewer rows than all combinations', () => {
  const rows = pairwise(factors);
  const names = Object.keys(factors) as (keyof typeof factors)[];
  for (const a of names)
    for (const b of names.filter((n) => n !== a))
      for (const x of factors[a])
        for (const y of factors[b])
          expect(
            rows.some((r) => r[a] === x && r[b] === y),
            `${a} ${x}, ${b} ${y}`,
          ).toBe(true);
  // No fewer than the two largest factors multiplied are possible.
  expect(rows.length).toBeGreaterThanOrEqual(60);
  expect(rows.length).toBeLessThan(80);
  expect(everyCombination(factors)).toHaveLength(360);
});
