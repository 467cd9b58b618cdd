import { describe, expect, test } from 'vitest';
import { analyseList, listOf } from '../support/analyse-rows.ts';
import { near, reference } from '../support/reference.ts';
import { printed } from '../support/check-list.ts';

/**
 * The names of `analyse --json`, from the lines of a file to the figure, against values by R (psych, lme4,
 * multilevel, irr) for eighteen tables and against two published examples.
 */
interface Panel {
  id: string;
  input: { tasks: string | string[]; reviewers: string | string[]; ratings: (number | null)[][] };
  expected: {
    krippendorff: Record<string, { alpha: number | null }>;
    gwet?: Record<string, { AC: { est: number | null }; fleiss: { est: number | null } } | null>;
    percentAgreement: Record<string, { pooled: number | null } | null>;
    kendallW: { W: number | null } | null;
    icc?: { forms?: Record<string, { icc: number; F: number; ci: [number, number] }> };
    perTask: Record<
      string,
      { n: number; median: number | null; AD_Md: number; awg: number | null }
    >;
    twoway: { components: number; reviewerEffect?: Record<string, number> };
    variance?: {
      REML?: { task: number; reviewer: number; residual: number };
      dstudy?: Record<string, { Phi: number | null }>;
      reviewersForPhi?: Record<string, number | null>;
    };
  };
}

describe.each(reference<{ cases: Panel[] }>('panel').cases)(
  'analyse $id',
  ({ input, expected }) => {
    const tasks = [input.tasks].flat();
    const reviewers = [input.reviewers].flat();
    const found = analyseList(listOf(tasks, reviewers, input.ratings), {
      min: 0,
      max: 5,
      better: 'lower',
    });

    test('tasks', () => {
      for (const t of found.tasks) {
        const e = expected.perTask[t.task];
        if (!e) continue;
        expect(t.n).toBe(e.n);
        if (e.n > 0) near(t.median ?? undefined, e.median, `median ${t.task}`);
        if (e.n > 1) near(t.ad_median ?? undefined, e.AD_Md, `AD ${t.task}`);
        // The reference keeps a_wg at the very ends of the scale, where we say why there is none.
        if (t.a_wg !== null) near(t.a_wg, e.awg, `a_wg ${t.task}`);
      }
    });

    test('reviewers', () => {
      for (const r of found.reviewers) {
        const e = expected.twoway.components === 1 ? expected.twoway.reviewerEffect : undefined;
        if (e?.[r.reviewer] === undefined || r.severity === null) continue;
        near(r.severity, e[r.reviewer], `severity ${r.reviewer}`);
      }
    });

    test('agreement', () => {
      const g = found.agreement;
      // One task alone has an alpha of zero by construction, which is suppressed.
      if (input.ratings.length > 1) {
        near(g.alpha.ordinal ?? undefined, expected.krippendorff['ordinal']?.alpha, 'alpha');
      }
      const want = (scheme: string) => expected.gwet?.[scheme];
      if (!expected.gwet) return;
      near(g.ac1 ?? undefined, want('identity')?.AC.est, 'AC1');
      near(g.ac2_quadratic ?? undefined, want('quadratic')?.AC.est, 'AC2');
      near(g.fleiss ?? undefined, want('identity')?.fleiss.est, 'Fleiss');
      near(
        g.within_one_pairs ?? undefined,
        expected.percentAgreement['tol1']?.pooled,
        'within one',
      );
      near(g.exact_pairs ?? undefined, expected.percentAgreement['tol0']?.pooled, 'exact');
    });

    test('components and dependability', () => {
      const { REML: e, dstudy, reviewersForPhi } = expected.variance ?? {};
      const { reml } = found.variance;
      if (!e || !reml) return;
      near(reml.task, e.task, 'task', 1e-8);
      near(reml.reviewer, e.reviewer, 'reviewer', 1e-8);
      near(reml.residual, e.residual, 'residual', 1e-8);
      const phi = dstudy?.[String(reviewers.length)]?.Phi;
      // The reference prints 0 where the tasks do not differ; we say that it is not estimable.
      if (phi !== undefined && phi !== null && e.task > 0)
        near(found.dependability.phi ?? undefined, phi, 'phi', 1e-8);
      const needed = reviewersForPhi?.['0.8'];
      if (needed !== undefined && needed !== null) {
        expect(found.dependability.reviewers_for_phi_80).toBe(needed);
      }
    });
  },
);

test('Shrout & Fleiss 1979, Table 2, from a file: ICC(2,1) .29, ICC(3,k) .91 as printed', () => {
  const ratings = [
    [9, 2, 5, 8],
    [6, 1, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
    [10, 5, 6, 9],
    [6, 2, 4, 7],
  ];
  const tasks = ratings.map((_, i) => `target ${String(i + 1)}`);
  const text = listOf(tasks, ['J1', 'J2', 'J3', 'J4'], ratings);
  const { icc } = analyseList(text, { min: 1, max: 10, better: 'higher' }).agreement;
  printed(icc['2,1'].estimate ?? NaN, 0.29, 2, 'ICC(2,1) estimate');
  printed(icc['3,k'].estimate ?? NaN, 0.91, 2, 'ICC(3,k) estimate');
  printed(icc['1,1'].estimate ?? NaN, 0.17, 2, 'ICC(1,1) estimate');
  printed(icc['1,1'].f ?? NaN, 1.79, 2, 'ICC(1,1) f');
});
