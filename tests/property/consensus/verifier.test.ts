import type { Protocol } from '@unhindered/shared-types';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { compositeOfMeans } from '../../../server/src/consensus/composite-of-means.ts';
import { ratingFlags } from '../../../server/src/consensus/divergence.ts';
import {
  defaultRule,
  lenientRule,
  strictRule,
} from '../../../server/src/consensus/divergence-rule.ts';
import type { Figure } from '../../../server/src/consensus/figure.ts';
import { krippendorffAlpha } from '../../../server/src/consensus/krippendorff-alpha.ts';
import { present, ratedColumns, type RatingScale } from '../../../server/src/consensus/table.ts';
import { alphaOrdinal } from '../../../server/src/verify/figures/alpha.ts';
import { ratingsDiverge } from '../../../server/src/verify/figures/divergence.ts';
import { meansFigures } from '../../../server/src/verify/figures/means.ts';
import { ratings, runs, tables } from '../../support/rating-tables.ts';
import { near } from '../../support/reference.ts';

/**
 * The writer and the verifier compute the published figures by separate code. Values agree to 1e-11 here, not
 * to the twelfth digit: two orders of summing may fall on two sides of a rounding.
 */
type Text = { value: string } | { undefinedBecause: string };

const same = (theirs: Text, own: Figure, what: string): void => {
  if (own.ok && 'value' in theirs) near(Number(theirs.value), own.value, what, 1e-11);
  else expect(theirs, what).toEqual(own.ok ? own : { undefinedBecause: own.why });
};

test('ordinal alpha', () => {
  fc.assert(
    fc.property(tables(), ({ cells }) => {
      same(alphaOrdinal(cells.map(present)), krippendorffAlpha(cells, 'ordinal'), 'alpha');
    }),
    runs(500),
  );
});

// Scales whose constants have a short decimal, so that text and number are the same constant.
test('whether a task diverges, on 3, 6 and 9 points', () => {
  const tasks = fc
    .constantFrom(3, 6, 9)
    .map((points): RatingScale => ({ min: 1, max: points, better: 'lower' }))
    .chain((scale) => ratings(scale).map((values) => ({ scale, values })));
  fc.assert(
    fc.property(tasks, ({ scale, values }) => {
      const steps = values.map((value, i) => ({ reviewer: String(i), value }));
      for (const ruleOf of [defaultRule, strictRule, lenientRule]) {
        const rule = ruleOf(scale);
        const flags = ratingFlags({ steps, notApplicable: [], critical: [] }, rule);
        const split = rule.split === null ? null : String(rule.split);
        const written = { id: rule.id, lone: String(rule.lone), split };
        expect(ratingsDiverge(values, written)).toBe(flags.length > 0);
      }
    }),
    runs(500),
  );
});

test('the composite of the means, its interval, own composites and leave-one-out', () => {
  const weights = fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 13, maxLength: 13 });
  fc.assert(
    fc.property(tables(), weights, (table, w) => {
      const cells = ratedColumns(table.cells);
      const reviewers = (cells[0] ?? []).map((_, j) => `R${String(j)}`);
      const tasks = cells.map((_, i) => ({ id: `t${String(i)}`, weight: w[i] ?? 1 }));
      const half = Math.ceil(tasks.length / 2);
      const sections = [
        { id: 'a', weight: w[12] ?? 1, tasks: tasks.slice(0, half) },
        { id: 'b', weight: 2, tasks: tasks.slice(half) },
      ];
      const own = compositeOfMeans({ tasks: tasks.map((t) => t.id), reviewers, cells }, sections);
      const columns = reviewers.map((seat, j) => ({
        seat,
        ratings: new Map(
          cells.flatMap((row, i) => (row[j] === undefined ? [] : [[`t${String(i)}`, row[j]]])),
        ),
      }));
      const theirs = meansFigures({ sections } as unknown as Protocol, columns);
      same(theirs.value, own.value, 'composite');
      reviewers.forEach((seat, j) => {
        const [mine, without] = [own.byReviewer[j], own.leaveOneOut[j]];
        if (!mine || !without) throw new Error('a reviewer is missing');
        same(theirs.byReviewer[j]?.value ?? { value: '' }, mine, seat);
        same(theirs.leaveOneOut[j]?.value ?? { value: '' }, without, `without ${seat}`);
      });
      const { interval } = own;
      if (!interval.ok || 'undefinedBecause' in theirs.interval) {
        expect(theirs.interval).toEqual(
          interval.ok ? interval : { undefinedBecause: interval.why },
        );
        return;
      }
      expect(theirs.interval.method).toBe(interval.value.method);
      near(Number(theirs.interval.lower), interval.value.lower, 'lower', 1e-11);
      near(Number(theirs.interval.upper), interval.value.upper, 'upper', 1e-11);
    }),
    runs(500),
  );
});
