import { describe, expect, test } from 'vitest';
import { grubbsCritical } from '../../server/src/consensus/grubbs.ts';
import { mandel, mandelHCritical, mandelKCritical } from '../../server/src/consensus/mandel.ts';
import { pairedDifference, timeRatio } from '../../server/src/consensus/paired-difference.ts';
import { newcombe, wilson } from '../../server/src/consensus/proportion-interval.ts';
import { randomEffects } from '../../server/src/consensus/random-effects.ts';
import { ratingScaleModel } from '../../server/src/consensus/rating-scale-model.ts';
import { pooledShift } from '../../server/src/consensus/round-stability.ts';
import { severity } from '../../server/src/consensus/severity.ts';
import { signedRank } from '../../server/src/consensus/signed-rank.ts';
import { probabilityOfSuperiority } from '../../server/src/consensus/superiority.ts';
import { interquartileRange } from '../../server/src/consensus/spread.ts';
import {
  threeFacetComponents,
  threeFacetDependability,
} from '../../server/src/consensus/three-facet-study.ts';
import { printed } from '../support/check-list.ts';
import { cellsOf, near, reference } from '../support/reference.ts';

/* eslint-disable @typescript-eslint/no-explicit-any -- the files' shapes are stated where they are read */

/** What the other tests leave out of the same files: limits, tests, criteria, errors. */
const casesOf = (name: string): any[] => reference<{ cases: any[] }>(name).cases;

test.each(casesOf('random-effects'))('random effects: $id, limits and tests (R metafor)', (c) => {
  const { y, v } = c.input;
  for (const method of ['DL', 'REML', 'PM'] as const) {
    const e = c.expected[method];
    const found = randomEffects(y, v, method);
    const near6 = (got: number | undefined, want: number, what: string): void =>
      near(got, want, `${method} ${what}`, 1e-6);
    near6(found?.limits[0], e.lo, 'lower');
    near6(found?.limits[1], e.hi, 'upper');
    near6(found?.qP, e.Qp, 'p of Q');
    if (e.knha) near6(found?.adjusted.limits[0], e.knha.lo, 'Knapp-Hartung lower');
    if (e.knha) near6(found?.adjusted.limits[1], e.knha.hi, 'Knapp-Hartung upper');
    if (e.pi_z) near6(found?.prediction[0], e.pi_z[0], 'prediction lower');
    if (e.pi_z) near6(found?.prediction[1], e.pi_z[1], 'prediction upper');
  }
});

test.each(casesOf('comparison'))('comparison: $id, sd, t, signed rank, time limits (R)', (c) => {
  const { evalA, evalB, timeReference, timeEquipped } = c.input;
  const found = pairedDifference(evalA.map((a: number, i: number) => [a, evalB[i]] as const));
  near(found?.sd, c.expected.sdDiff, 'sd');
  near(found?.t, c.expected.t, 't');
  const shift = signedRank(
    evalA.map((a: number, i: number) => a - evalB[i]),
    'normal',
  );
  near(shift?.positive, c.expected.wilcoxonNormalCorrected.V, 'V');
  near(shift?.p, c.expected.wilcoxonNormalCorrected.p, 'p');
  const a = probabilityOfSuperiority(evalA, evalB);
  near(2 * (a ?? Number.NaN) - 1, c.expected.cliffDelta, "Cliff's delta from the probability");
  const ratio = timeRatio(
    timeReference.map((r: number, i: number) => ({ reference: r, equipped: timeEquipped[i] })),
  );
  near(ratio?.limits[1], c.expected.ratioCI95[1], 'ratio upper');
});

test.each(casesOf('interlaboratory'))(
  'interlaboratory: $id, deviations and criteria (R)',
  ({ input, expected: e }) => {
    const x: number[][][] = input.x;
    (x[0] ?? []).forEach((_, task) => {
      const found = mandel(x.map((reviewer) => reviewer[task] ?? []));
      near(found?.repeatability, e.repeatabilitySD[task], 'repeatability');
      near(found?.sdOfMeans, e.sdOfMeans[task], 'sd of means');
    });
    const trials = x[0]?.[0]?.length ?? 0;
    for (const alpha of ['0.05', '0.01', '0.005']) {
      near(mandelHCritical(x.length, Number(alpha)), e.hCrit[alpha], `h ${alpha}`);
      near(mandelKCritical(x.length, trials, Number(alpha)), e.kCrit[alpha], `k ${alpha}`);
    }
    for (const [alpha, want] of Object.entries<number>(e.grubbsCrit)) {
      near(grubbsCritical(x.length, Number(alpha)), want, `Grubbs ${alpha}`);
    }
  },
);

test.each(casesOf('panel').filter((c) => c.expected.twoway?.adjustedTaskSE))(
  'severity: $id, errors of the fair values and the residual (R lm)',
  ({ input, expected }) => {
    const e = expected.twoway;
    const found = severity(cellsOf(input.ratings));
    near(found?.sigma, e.sigma, 'residual');
    input.tasks.forEach((t: string, i: number) => {
      const want = e.adjustedTaskSE[t];
      if (typeof want === 'number') near(found?.fairErrors[i], want, `error of ${t}`);
    });
  },
);

test.each(casesOf('two-rounds'))('two rounds: $id, quartiles of each round (SciPy)', (c) => {
  c.expected.perTask.forEach((e: any, i: number) => {
    near(interquartileRange(c.input.round1[i]), e.iqr1, 'first round');
    near(interquartileRange(c.input.round2[i]), e.iqr2, 'second round');
  });
});

test.each(casesOf('two-rounds'))('two rounds: $id, the smaller rank sum (SciPy)', (c) => {
  const found = pooledShift(c.input.round1, c.input.round2);
  const smaller = Math.min(found?.positive ?? Number.NaN, found?.negative ?? Number.NaN);
  near(smaller, c.expected.pooledWilcoxon.statistic_min, 'smaller rank sum');
});

describe('rating-scale model, every parameter and fit (R VGAM)', () => {
  test.each(casesOf('rating-scale-model'))('$id', ({ input, expected: e }) => {
    const rated = input.rows.filter((r: any) => r.y !== null);
    const tasks = [...new Set<string>(input.rows.map((r: any) => r.task))];
    const reviewers = [...new Set<string>(input.rows.map((r: any) => r.reviewer))];
    const found = ratingScaleModel(
      rated.map((r: any) => ({
        task: tasks.indexOf(r.task),
        reviewer: reviewers.indexOf(r.reviewer),
        category: r.y,
      })),
      tasks.length,
      reviewers.length,
      Math.max(...input.categories),
    );
    expect(found?.converged).toBe(true);
    expect(found?.steps).toHaveLength(e.steps.length);
    e.steps.forEach((step: number, k: number) => near(found?.steps[k], step, 'step', 1e-5));
    tasks.forEach((t, i) => {
      const extreme = e.taskMeasure[t] === undefined;
      expect([found?.task[i] === undefined, found?.taskFit[i] === undefined]).toEqual([
        extreme,
        extreme,
      ]);
      if (extreme) return;
      near(found?.taskFit[i]?.infit, e.fitTask.infit[t], `infit ${t}`, 1e-5);
      near(found?.taskFit[i]?.outfit, e.fitTask.outfit[t], `outfit ${t}`, 1e-5);
    });
    reviewers.forEach((r, j) => {
      near(found?.reviewerFit[j]?.outfit, e.fitReviewer.outfit[r], `outfit ${r}`, 1e-5);
    });
  });
});

test.each(casesOf('three-facet').filter((c) => c.expected.EMS))(
  'piece x reviewer x trial: $id, errors of measurement (R)',
  (c) => {
    const rows: { e: number; r: number; t: number; y: number }[] = c.input.rows;
    const cube: number[][][] = [];
    for (const { e, r, t, y } of rows) ((cube[e - 1] ??= [])[r - 1] ??= [])[t - 1] = y;
    const found = threeFacetComponents(cube);
    for (const [key, d] of Object.entries<any>(c.expected.dstudy)) {
      const [reviewers = 1, trials = 1] = key.split('x').map(Number);
      const at = found && threeFacetDependability(found, reviewers, trials);
      const piece = Math.max(0, found?.piece ?? Number.NaN);
      // The error variances follow from the coefficients: G = piece / (piece + relative).
      near(piece / (at?.g ?? Number.NaN) - piece, d.relVar, `relative error ${key}`);
      near(piece / (at?.phi ?? Number.NaN) - piece, d.absVar, `absolute error ${key}`);
    }
  },
);

test.each([
  [56, 70, 48, 80, 0.0524, 0.3339],
  [9, 10, 3, 10, 0.1705, 0.809],
  [6, 7, 2, 7, 0.0582, 0.8062],
  [5, 56, 0, 29, -0.0381, 0.1926],
  [0, 10, 0, 20, -0.1611, 0.2775],
  [0, 10, 0, 10, -0.2775, 0.2775],
  [10, 10, 0, 20, 0.6791, 1],
  [10, 10, 0, 10, 0.6075, 1],
])(
  'Newcombe 1998 (17:873), method 10, Table II (from memory): %i/%i less %i/%i',
  (a, m, b, n, lower, upper) => {
    const found = newcombe({ successes: a, trials: m }, { successes: b, trials: n });
    printed(found?.difference ?? Number.NaN, a / m - b / n, 12, 'difference');
    printed(found?.limits[0] ?? Number.NaN, lower, 4, 'lower');
    printed(found?.limits[1] ?? Number.NaN, upper, 4, 'upper');
  },
);

test.each([
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])('Newcombe 1998 (17:857), Wilson, Table I (from memory): %i of %i', (x, n, lower, upper) => {
  const found = wilson(x, n);
  printed(found?.[0] ?? Number.NaN, lower, 4, 'lower');
  printed(found?.[1] ?? Number.NaN, upper, 4, 'upper');
});
