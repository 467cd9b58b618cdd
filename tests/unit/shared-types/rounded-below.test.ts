import { expect, test } from 'vitest';
import { roundedBelow } from '../../../shared-types/src/index.ts';

test('what falls short of a mark is never shown as if it did not', () => {
  expect(roundedBelow(0.61, 0.8)).toBe('0.61');
  expect(roundedBelow(0.797, 0.8)).toBe('0.797');
  expect(roundedBelow(0.79996, 0.8)).toBe('0.79996');
  expect(roundedBelow(0.8, 0.8)).toBe('0.80');
  expect(roundedBelow(0.914, 0.8)).toBe('0.91');
});
