import { expect, test } from 'vitest';
import { agreementReading } from '../../../server/src/consensus/agreement-reading.ts';

test.each([
  [0.8, 0.5, 0.3, 'alike'],
  [0.79, 0.5, 0.3, 'tentative'],
  [0.667, 0.5, 0.3, 'tentative'],
  [0.66, 0.5, 0.3, 'apart'],
  [0.2, 0.8, 0.09, 'tasks-hardly-differ'],
  [0.2, 0.79, 0.09, 'apart'],
  [0.2, 0.8, 0.1, 'apart'],
  [0.7, 0.9, 0.05, 'tasks-hardly-differ'],
  [undefined, 0.9, 0.05, 'undefined'],
  [0.2, undefined, undefined, 'apart'],
] as const)('alpha %s, pairs %s, spread %s: %s', (alpha, pairs, spread, reading) => {
  expect(agreementReading(alpha, pairs, spread)).toBe(reading);
});
