import { expect, test } from 'vitest';
import { everyMode, modeName, pairsOf, pairwiseModes } from '../../pictures/modes.ts';

test('every combination of modes is there once', () => {
  const names = everyMode().map(modeName);
  expect(names).toHaveLength(3 * 3 * 2 * 2 * 2);
  expect(new Set(names).size).toBe(names.length);
});

test('the short list shows every pair of ways together, the worst screen first', () => {
  const short = pairwiseModes();
  const seen = new Set(short.flatMap(pairsOf));
  for (const pair of everyMode().flatMap(pairsOf)) expect(seen).toContain(pair);
  expect(short[0]).toMatchObject({ width: 360, text: 200 });
  // Three widths by three ways to be shown: fewer than nine cannot do it.
  expect(short).toHaveLength(9);
});

test('a list without one of its modes misses a pair', () => {
  const short = pairwiseModes();
  const all = new Set(everyMode().flatMap(pairsOf));
  for (const [i] of short.entries()) {
    const rest = new Set(short.filter((_, at) => at !== i).flatMap(pairsOf));
    expect(rest.size).toBeLessThan(all.size);
  }
});
