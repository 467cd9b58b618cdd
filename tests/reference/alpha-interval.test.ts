import mt19937 from '@stdlib/random-base-mt19937';
import { expect, test } from 'vitest';
import intervals from '../../fixtures/reference/alpha-interval.json' with { type: 'json' };
import panel from '../../fixtures/reference/panel.json' with { type: 'json' };
import { alphaInterval } from '../../server/src/consensus/alpha-interval.ts';
import { must } from '../support/expect-figure.ts';
import { cellsOf, near } from '../support/reference.ts';

/** Numbers in [0, 1) with 53 bits, as NumPy's RandomState(seed).random_sample() gives them. */
const numbers = (seed: number): (() => number) => {
  // The package's types leave out this property of a generator.
  const generator = mt19937.factory({ seed }) as unknown as { normalized: () => number };
  return () => generator.normalized();
};

test('the generator is the one NumPy has', () => {
  const random = numbers(7);
  // numpy.random.RandomState(7).random_sample(2)
  expect([random(), random()]).toEqual([0.07630828937395717, 0.7799187922401146]);
});

test.each(intervals.cases)(
  'interval of ordinal alpha, $case: NumPy with the same draws',
  (want) => {
    const table = (panel.cases as { id: string; input: { ratings: (number | null)[][] } }[]).find(
      (c) => c.id === want.case,
    );
    const cells = cellsOf(table?.input.ratings ?? []);
    const found = must(alphaInterval(cells, 'ordinal', numbers(want.seed), want.replicates));
    near(found.lower, want.lower, 'lower');
    near(found.upper, want.upper, 'upper');
    expect([found.replicates, found.discarded]).toEqual([want.replicates, want.discarded]);
  },
);
