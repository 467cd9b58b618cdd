import { describe, expect, test } from 'vitest';
import { bootstrapIntervals } from '../../server/src/consensus/bootstrap-intervals.ts';
import { compositeOfMeans } from '../../server/src/consensus/composite-of-means.ts';
import { must } from '../support/expect-figure.ts';
import { near, reference } from '../support/reference.ts';

type Pair = [number, number];
interface Case {
  id: string;
  values: number[];
  draws: number[][];
  ratings: number[][];
  taskWeights: number[];
  expected: Record<
    'normal' | 'basic' | 'percentile' | 'bca' | 'studentised' | 't_interval',
    Pair
  > & {
    t0: number;
    se_boot: number;
    loo: { composite: number }[];
  };
}

describe.each(reference<{ cases: Case[] }>('bootstrap').cases)('$id (R boot)', (c) => {
  const found = must(bootstrapIntervals(c.values, c.draws));

  test.each([
    ['normal', 1e-9],
    ['basic', 1e-9],
    ['percentile', 1e-9],
  ] as const)('%s interval', (kind, tolerance) => {
    near(found[kind].lower, c.expected[kind][0], `${kind} lower`, tolerance);
    near(found[kind].upper, c.expected[kind][1], `${kind} upper`, tolerance);
    near(found.se, c.expected.se_boot, 'standard error');
  });

  test.each([
    ['bca', 1e-3],
    ['studentised', 5e-3],
  ] as const)('%s interval, to what ties leave open', (kind, tolerance) => {
    const { lower, upper } = must(found[kind]);
    near(lower, c.expected[kind][0], `${kind} lower`, tolerance);
    near(upper, c.expected[kind][1], `${kind} upper`, tolerance);
  });

  test('composites, t interval and leave-one-out from the ratings themselves', () => {
    const tasks = c.ratings.map((_, i) => `t${String(i)}`);
    const reviewers = c.values.map((_, j) => `R${String(j + 1)}`);
    const weights = tasks.map((id, i) => ({ id, weight: c.taskWeights[i] ?? 0 }));
    const means = compositeOfMeans({ tasks, reviewers, cells: c.ratings }, [
      { id: 'all', weight: 1, tasks: weights },
    ]);
    near(must(means.value), c.expected.t0, 'composite');
    c.values.forEach((x, j) =>
      near(must(means.byReviewer[j] ?? means.value), x, `own ${String(j)}`),
    );
    const interval = must(means.interval);
    near(interval.lower, c.expected.t_interval[0], 't lower');
    near(interval.upper, c.expected.t_interval[1], 't upper');
    c.expected.loo.forEach(({ composite }, j) =>
      near(must(means.leaveOneOut[j] ?? means.value), composite, `without ${String(j)}`),
    );
  });
});

test('reviewers who do not differ have no BCa and no studentised interval', () => {
  const found = must(
    bootstrapIntervals(
      [2, 2, 2],
      [
        [0, 1, 2],
        [0, 0, 1],
      ],
    ),
  );
  expect(found.bca.ok).toBe(false);
  expect(found.studentised.ok).toBe(false);
  expect(bootstrapIntervals([2], [[0]]).ok).toBe(false);
  expect(bootstrapIntervals([1, 2], []).ok).toBe(false);
});
