import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  appropriateness,
  thirdsDisagreement,
} from '../../../server/src/consensus/appropriateness.ts';
import { aWg } from '../../../server/src/consensus/a-wg.ts';
import { compensatedSum } from '../../../server/src/consensus/compensated-sum.ts';
import { ratingFlags, type Flag } from '../../../server/src/consensus/divergence.ts';
import {
  defaultRule,
  lenientRule,
  strictRule,
} from '../../../server/src/consensus/divergence-rule.ts';
import { mean } from '../../../server/src/consensus/mean.ts';
import { median, quantile } from '../../../server/src/consensus/quantile.ts';
import { rWg } from '../../../server/src/consensus/r-wg.ts';
import { adMean, adMedian, range } from '../../../server/src/consensus/spread.ts';
import type { RatingScale } from '../../../server/src/consensus/table.ts';
import { ratings, runs, scales } from '../../support/rating-tables.ts';

const tasks = (least = 1) =>
  scales.chain((scale) => ratings(scale, least).map((values) => ({ scale, values })));
const RULES = [defaultRule, strictRule, lenientRule];

const flagsOf = (values: readonly number[], scale: RatingScale, ruleOf = defaultRule): Flag[] =>
  ratingFlags(
    {
      steps: values.map((value, i) => ({ reviewer: String(i), value })),
      notApplicable: [],
      critical: [],
    },
    ruleOf(scale),
  );

describe('bounds', () => {
  test('median, mean and quantiles lie within the ratings; quantiles rise', () => {
    fc.assert(
      fc.property(tasks(), ({ values }) => {
        const low = Math.min(...values);
        const high = Math.max(...values);
        const steps = [0, 0.1, 0.25, 0.3, 0.5, 0.7, 0.75, 1].map((p) => quantile(values, p) ?? NaN);
        for (const x of [median(values), mean(values), ...steps]) {
          expect(x).toBeGreaterThanOrEqual(low);
          expect(x).toBeLessThanOrEqual(high);
        }
        expect(steps.toSorted((a, b) => a - b)).toEqual(steps);
      }),
      runs(),
    );
  });
  test('no centre has a smaller average deviation than the median, and it is half the range at most', () => {
    fc.assert(
      fc.property(tasks(), ({ values }) => {
        const ad = adMedian(values) ?? NaN;
        expect(ad).toBeLessThanOrEqual((adMean(values) ?? NaN) + 1e-12);
        expect(ad).toBeLessThanOrEqual((range(values) ?? NaN) / 2 + 1e-12);
      }),
      runs(),
    );
  });
  test('r_wg is 1 at most, a_wg from -1 to 1', () => {
    fc.assert(
      fc.property(tasks(2), ({ scale, values }) => {
        const r = rWg(values, scale);
        const a = aWg(values, scale);
        if (r.ok) expect(r.value).toBeLessThanOrEqual(1);
        if (a.ok) expect(Math.abs(a.value)).toBeLessThanOrEqual(1 + 1e-12);
      }),
      runs(),
    );
  });
  test('half points add up exactly in any order', () => {
    const halves = fc.array(fc.integer({ min: -2000, max: 2000 }), { maxLength: 400 });
    fc.assert(
      fc.property(halves, (doubled) => {
        const exact = doubled.reduce((sum, x) => sum + x, 0) / 2;
        expect(compensatedSum(doubled.map((x) => x / 2)) === exact).toBe(true);
      }),
      runs(),
    );
  });
});

describe('CO-1: a flag does not depend on', () => {
  test('the order of the reviewers, and it names the same ones', () => {
    fc.assert(
      fc.property(tasks(2), ({ scale, values }) => {
        const steps = values.map((value, i) => ({ reviewer: String(i), value }));
        for (const ruleOf of RULES) {
          const given = { steps, notApplicable: [], critical: [] };
          const turned = { ...given, steps: steps.toReversed() };
          const text = (flags: Flag[]): string[] =>
            flags.map((f) =>
              JSON.stringify({
                ...f,
                reviewers: f.reviewers.toSorted(),
                apart: f.apart.toSorted(),
              }),
            );
          expect(text(ratingFlags(turned, ruleOf(scale)))).toEqual(
            text(ratingFlags(given, ruleOf(scale))),
          );
        }
      }),
      runs(),
    );
  });
  test('which end of the scale is better, or where it begins', () => {
    fc.assert(
      fc.property(tasks(2), fc.integer({ min: -9, max: 9 }), ({ scale, values }, by) => {
        const turned = values.map((x) => scale.min + scale.max - x);
        const shifted = { ...scale, min: scale.min + by, max: scale.max + by };
        for (const ruleOf of RULES) {
          const flags = flagsOf(values, scale, ruleOf);
          expect(flagsOf(turned, scale, ruleOf)).toEqual(flags);
          expect(
            flagsOf(
              values.map((x) => x + by),
              shifted,
              ruleOf,
            ),
          ).toEqual(flags);
        }
      }),
      runs(),
    );
  });
});

describe('CO-1: a flag', () => {
  test('never falls on a panel that agrees, nor on a single rating', () => {
    fc.assert(
      fc.property(tasks(), fc.integer({ min: 1, max: 12 }), ({ scale, values }, n) => {
        const same = Array.from({ length: n }, () => values[0] ?? 0);
        for (const ruleOf of RULES) {
          expect(flagsOf(same, scale, ruleOf)).toEqual([]);
          expect(flagsOf(values.slice(0, 1), scale, ruleOf)).toEqual([]);
        }
      }),
      runs(),
    );
  });
  test('points only at reviewers it names', () => {
    fc.assert(
      fc.property(tasks(2), ({ scale, values }) => {
        for (const flag of flagsOf(values, scale)) {
          expect(flag.apart.every((r) => flag.reviewers.includes(r))).toBe(true);
        }
      }),
      runs(400),
    );
  });
  test('stays when the highest rating moves further out', () => {
    fc.assert(
      fc.property(tasks(2), fc.integer({ min: 1, max: 5 }), ({ scale, values }, by) => {
        const top = values.indexOf(Math.max(...values));
        const further = values.map((x, i) => (i === top ? x + by : x));
        for (const ruleOf of RULES) {
          if (flagsOf(values, scale, ruleOf).length > 0) {
            expect(flagsOf(further, scale, ruleOf).length).toBeGreaterThan(0);
          }
        }
      }),
      runs(400),
    );
  });
});

test('polarisation does not depend on which end of the scale is better', () => {
  fc.assert(
    fc.property(tasks(4), ({ scale, values }) => {
      const turned = values.map((x) => scale.min + scale.max - x);
      expect(thirdsDisagreement(turned, scale)).toEqual(thirdsDisagreement(values, scale));
      const a = appropriateness(values, scale);
      const b = appropriateness(turned, scale);
      expect(a.ok && b.ok && a.value.disagreement === b.value.disagreement).toBe(true);
    }),
    runs(),
  );
});
