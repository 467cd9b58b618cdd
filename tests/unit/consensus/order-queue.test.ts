import { expect, test } from 'vitest';
import {
  orderQueue,
  type Flag,
  type FlagKind,
  type QueuedTask,
} from '../../../server/src/consensus/divergence.ts';

const flag = (kind: FlagKind, size: number): Flag => ({
  kind,
  rule: 'D1',
  constants: null,
  reviewers: [],
  apart: [],
  size,
  ratings: 3,
});
const task = (name: string, flags: Flag[], weight = 1, owed = false): QueuedTask => ({
  task: name,
  flags,
  weight,
  owed,
});

test('CO-5: critical failures, then distance, then weight, then protocol order', () => {
  const queue = orderQueue([
    task('applies?', [flag('applicability-dispute', 0)]),
    task('far', [flag('lone-voice', 4)]),
    task('heavy', [flag('split-panel', 3)], 5),
    task('calm', []),
    task('light', [flag('split-panel', 3)], 1),
    task('light, later', [flag('lone-voice', 3)], 1),
    task('disputed', [flag('critical-failure-dispute', 0)]),
    task('disputed and far', [flag('critical-failure-dispute', 0), flag('lone-voice', 4)]),
  ]);
  expect(queue).toEqual([
    'disputed and far',
    'disputed',
    'far',
    'heavy',
    'light',
    'light, later',
    'applies?',
  ]);
});

test('CO-5: a decision owed brings a task forward though nobody disputes it', () => {
  const tasks = [task('far', [flag('lone-voice', 5)]), task('all propose it', [], 1, true)];
  expect(orderQueue(tasks)).toEqual(['all propose it', 'far']);
});

test('CO-5: nothing to talk through is an empty queue', () => {
  expect(orderQueue([task('calm', [])])).toEqual([]);
  expect(orderQueue([])).toEqual([]);
});

test('CO-5: on a scale of two points half a point is a distance, and a dispute without one has none', () => {
  const queue = orderQueue([
    task('applies?', [flag('applicability-dispute', 0)]),
    task('half a point', [flag('lone-voice', 0.5)]),
  ]);
  expect(queue).toEqual(['half a point', 'applies?']);
});
