import { describe, test } from 'vitest';
import { mean, variance } from '../../server/src/consensus/mean.ts';
import { welchDifference } from '../../server/src/measures/welch.ts';
import { must } from '../support/expect-figure.ts';
import { near, reference } from '../support/reference.ts';

interface Case {
  a: number[];
  b: number[];
  difference: number;
  se: number;
  df: number;
  lower: number;
  upper: number;
}

const group = (values: number[]) => ({
  n: values.length,
  mean: mean(values) ?? 0,
  sd: Math.sqrt(variance(values) ?? 0),
});

describe('Welch against SciPy', () => {
  test.each(reference<{ cases: Case[] }>('measures-welch').cases)(
    'ttest_ind, unequal variances: $a.length and $b.length values',
    (c) => {
      const found = must(welchDifference(group(c.a), group(c.b)));
      near(found.difference, c.difference, 'difference');
      near(found.se, c.se, 'standard error');
      near(found.df, c.df, 'degrees of freedom');
      // Below two degrees of freedom the quantiles of the two libraries agree to nine digits.
      near(found.limits[0], c.lower, 'lower limit', 1e-8);
      near(found.limits[1], c.upper, 'upper limit', 1e-8);
    },
  );
});
