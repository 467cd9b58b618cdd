import { expect, test } from 'vitest';
import { mandelH, mandelProfile } from '../../../server/src/consensus/mandel-h.ts';
import { must } from '../../support/expect-figure.ts';

test('by hand: 1, 2, 3 stand one standard deviation apart; an absent cell has none', () => {
  expect(mandelH([1, undefined, 2, 3])).toEqual([-1, undefined, 0, 1]);
});

test('bounded by (p - 1) / sqrt(p), reached by one voice against equals', () => {
  const h = mandelH([0, 0, 0, 5]);
  expect(h[3]).toBeCloseTo(3 / Math.sqrt(4), 12);
});

test('two ratings, or three alike, have none', () => {
  expect(mandelH([1, 4])).toEqual([undefined, undefined]);
  expect(mandelH([2, 2, 2])).toEqual([undefined, undefined, undefined]);
});

test('the profile counts the tasks on either side', () => {
  const h = [mandelH([1, 2, 3]), mandelH([0, 1, 2]), mandelH([4, 4, 1]), mandelH([1, 1, 1])];
  expect(must(mandelProfile(h, 0))).toMatchObject({ tasks: 3, above: 1, below: 2 });
  expect(mandelProfile([[undefined]], 0).ok).toBe(false);
});
