import { expect, test } from 'vitest';
import {
  countStrip,
  fit,
  intervalStrip,
  signedBar,
} from '../../../server/src/analysis/text-plot.ts';

test('counts at each point, the median in brackets, around two points when between them', () => {
  expect(countStrip([0, 2, 1, 0, 0, 0], 0, 1)).toBe(' . [2] 1  .  .  . ');
  expect(countStrip([0, 2, 2, 0, 0, 12], 0, 1.5)).toBe(' . [2  2] .  .  + ');
  expect(countStrip([0, 0], 1, null)).toBe(' .  . ');
});

test('a bar leaves the datum to its own side', () => {
  expect(signedBar(-0.5, 1, 4)).toBe('  <<|    ');
  expect(signedBar(1, 1, 4)).toBe('    |>>>>');
  expect(signedBar(0, 0, 4)).toBe('    |    ');
});

test('an interval beyond the scale ends at its edge', () => {
  const scale = { min: 0, max: 5 };
  expect(intervalStrip({ value: 2.5, lower: 1, upper: 4 }, scale, 11)).toBe('--[==o==]--');
  expect(intervalStrip({ value: 0, lower: -1, upper: 9 }, scale, 11)).toBe('o=========]');
  expect(intervalStrip({ value: 5, lower: null, upper: null }, scale, 11)).toBe('----------o');
});

test('names are cut with a sign that shows it', () => {
  expect(fit('abcdef', 4)).toBe('abc…');
  expect(fit('ab', 4)).toBe('ab  ');
});
