import { describe, expect, test } from 'vitest';
import panel from '../../fixtures/reference/panel.json' with { type: 'json' };
import type { WeightScheme } from '../../server/src/consensus/agreement-weights.ts';
import { brennanPrediger } from '../../server/src/consensus/brennan-prediger.ts';
import { cohenKappa } from '../../server/src/consensus/cohen-kappa.ts';
import type { Figure } from '../../server/src/consensus/figure.ts';
import { fleiss } from '../../server/src/consensus/fleiss.ts';
import { gwet } from '../../server/src/consensus/gwet.ts';
import { icc, type IccForm } from '../../server/src/consensus/icc.ts';
import { kendallW } from '../../server/src/consensus/kendall-w.ts';
import {
  krippendorffAlpha,
  type AlphaMetric,
} from '../../server/src/consensus/krippendorff-alpha.ts';
import { pairAgreement } from '../../server/src/consensus/pair-agreement.ts';
import { present } from '../../server/src/consensus/table.ts';
import { expectFigure } from '../support/expect-figure.ts';
import { printed } from '../support/check-list.ts';
import { cellsOf, near } from '../support/reference.ts';

/**
 * Eighteen tables of 1 to 12 reviewers, complete and with absent cells, ties, no variation, half points, groups
 * that no rating ties together. Expected: R 4.2.2 with psych 2.2.9 (ICC), stats::friedman.test (W), own R
 * scripts for the rest. Tolerance 1e-9: closed forms, printed with 15 digits.
 */
interface Expected {
  icc?: {
    n: number;
    k: number;
    forms: Record<
      string,
      {
        icc: number | null;
        F: number | null;
        df1: number;
        df2: number;
        p: number | null;
        ci: (number | null)[];
      }
    >;
  };
  krippendorff: Record<string, { alpha: number | null }>;
  gwet?: Record<
    string,
    {
      pa: number;
      AC: { est: number | null; pe: number; se: number | null; n: number };
      BP: { est: number | null };
      fleiss: { est: number | null };
    }
  > | null;
  percentAgreement: Record<
    string,
    { unitMean: number | null; pooled: number | null; allWithin: number | null; units: number }
  >;
  kendallW?: Record<string, unknown>;
  weightedKappa_R1_R2?: { n: number } & Record<string, { kappa: number | null } | number>;
}
interface Case {
  id: string;
  input: { ratings: (number | null)[][] };
  expected: Expected;
}
const cases = panel.cases as unknown as Case[];
const POINTS = [0, 1, 2, 3, 4, 5];

const estimate = <T extends { estimate: number }>(f: Figure<T>): Figure =>
  f.ok ? { ok: true, value: f.value.estimate } : f;

test('all eighteen tables are there', () => {
  expect(cases).toHaveLength(18);
});

describe.each(cases)('$id', ({ input, expected }) => {
  const cells = cellsOf(input.ratings);

  test('Krippendorff alpha, four metrics', () => {
    const pairable = cells.filter((row) => present(row).length >= 2).length;
    for (const metric of ['nominal', 'ordinal', 'interval', 'ratio'] as AlphaMetric[]) {
      const alpha = expected.krippendorff[metric]?.alpha;
      // A single task gives 0 by construction (Do = De); we suppress it.
      expectFigure(krippendorffAlpha(cells, metric), pairable < 2 ? null : alpha, metric);
    }
  });

  if (expected.icc)
    test('intraclass correlations, six forms', () => {
      const found = icc(cells);
      for (const [form, want] of Object.entries(expected.icc?.forms ?? {})) {
        if (want.icc === null) {
          expect(found.ok && found.value.forms[form as IccForm].ok, form).toBe(false);
          continue;
        }
        if (!found.ok) throw new Error(found.why);
        expect([found.value.tasks, found.value.reviewers]).toEqual([
          expected.icc?.n,
          expected.icc?.k,
        ]);
        const f = found.value.forms[form as IccForm];
        if (!f.ok) throw new Error(`${form}: ${f.why}`);
        near(f.value.estimate, want.icc, form);
        expect([f.value.df1, f.value.df2], form).toEqual([want.df1, want.df2]);
        if (!f.value.test.ok || !f.value.interval.ok) throw new Error(`${form} has no test`);
        near(f.value.test.value.f, want.F ?? NaN, `${form} F`);
        printed(f.value.test.value.p / (want.p ?? NaN), 1, 9, `${form} p, ratio`);
        near(f.value.interval.value.lower, want.ci[0] ?? NaN, `${form} lower`);
        near(f.value.interval.value.upper, want.ci[1] ?? NaN, `${form} upper`);
      }
    });

  if (expected.gwet)
    test('Gwet, Brennan-Prediger and Fleiss, four weightings', () => {
      for (const [scheme, want] of Object.entries(expected.gwet ?? {})) {
        const weights = scheme as WeightScheme;
        const ac = gwet(cells, POINTS, weights);
        if (!ac.ok) throw new Error(ac.why);
        expectFigure(estimate(ac), want.AC.est, `${scheme} AC`);
        near(ac.value.observed, want.pa, `${scheme} pa`);
        near(ac.value.expected, want.AC.pe, `${scheme} pe`);
        expect(ac.value.tasks).toBe(want.AC.n);
        const { inference } = ac.value;
        const se: Figure = inference.ok ? { ok: true, value: inference.value.se } : inference;
        expectFigure(se, want.AC.se, `${scheme} se`);
        expectFigure(
          estimate(brennanPrediger(cells, POINTS, weights)),
          want.BP.est,
          `${scheme} BP`,
        );
        expectFigure(estimate(fleiss(cells, POINTS, weights)), want.fleiss.est, `${scheme} Fleiss`);
      }
    });

  test('pairs of reviewers within no point and within one', () => {
    for (const [tolerance, key] of [
      [0, 'tol0'],
      [1, 'tol1'],
    ] as const) {
      const want = expected.percentAgreement[key];
      const found = pairAgreement(cells, tolerance);
      if (!want?.units) {
        expect(found.ok).toBe(false);
        continue;
      }
      if (!found.ok) throw new Error(found.why);
      near(found.value.pooled, want.pooled ?? NaN, `${key} pooled`);
      near(found.value.meanOverTasks, want.unitMean ?? NaN, `${key} mean over tasks`);
      near(found.value.tasksWithin, want.allWithin ?? NaN, `${key} tasks within`);
    }
  });

  if (expected.kendallW)
    test("Kendall's W with ties, and Friedman's statistic", () => {
      const want = expected.kendallW as Record<string, number | null>;
      const found = kendallW(cells);
      if (typeof want['W'] !== 'number') {
        expect(found.ok).toBe(false);
        return;
      }
      if (!found.ok) throw new Error(found.why);
      const { w, s, ties, chi2, df, p, tasks, reviewers, meanSpearman } = found.value;
      expect([df, tasks, reviewers]).toEqual([want['df'], want['n'], want['m']]);
      near(w, want['W'], 'W');
      near(s, want['S'] ?? NaN, 'S');
      near(ties, want['T'] ?? NaN, 'T');
      near(chi2, want['chisq'] ?? NaN, 'chi2');
      printed(p / (want['p'] ?? NaN), 1, 9);
      near(meanSpearman, want['meanSpearman'] ?? NaN, 'mean Spearman');
    });

  if (expected.weightedKappa_R1_R2)
    test('weighted kappa of the first two reviewers', () => {
      const want = expected.weightedKappa_R1_R2;
      const pairs = cells.flatMap((row) =>
        row[0] === undefined || row[1] === undefined ? [] : [[row[0], row[1]] as const],
      );
      expect(pairs).toHaveLength(want?.n ?? -1);
      const names = { identity: 'unweighted', linear: 'linear', quadratic: 'quadratic' } as const;
      for (const scheme of ['identity', 'linear', 'quadratic'] as const) {
        const kappa = want?.[names[scheme]] as { kappa: number | null };
        expectFigure(estimate(cohenKappa(pairs, POINTS, scheme)), kappa.kappa, scheme);
      }
    });
});
