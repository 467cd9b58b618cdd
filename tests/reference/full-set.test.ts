import { describe, expect, test } from 'vitest';
import { algorithmA } from '../../server/src/consensus/algorithm-a.ts';
import { dependability, reviewersForPhi } from '../../server/src/consensus/dependability.ts';
import { grubbs, grubbsCritical } from '../../server/src/consensus/grubbs.ts';
import { mandel, mandelHCritical, mandelKCritical } from '../../server/src/consensus/mandel.ts';
import { pairedDifference, timeRatio } from '../../server/src/consensus/paired-difference.ts';
import { randomEffects } from '../../server/src/consensus/random-effects.ts';
import { ratingScaleModel } from '../../server/src/consensus/rating-scale-model.ts';
import { pooledShift, taskStability } from '../../server/src/consensus/round-stability.ts';
import { severity } from '../../server/src/consensus/severity.ts';
import { signedRank } from '../../server/src/consensus/signed-rank.ts';
import {
  pairedSuperiority,
  probabilityOfSuperiority,
  standing,
} from '../../server/src/consensus/superiority.ts';
import {
  threeFacetComponents,
  threeFacetDependability,
} from '../../server/src/consensus/three-facet-study.ts';
import {
  componentsByMeanSquares,
  componentsByReml,
} from '../../server/src/consensus/variance-components.ts';
import { wilson } from '../../server/src/consensus/proportion-interval.ts';
import { completeRows } from '../../server/src/consensus/table.ts';
import { printed } from '../support/check-list.ts';
import { cellsOf, near, reference } from '../support/reference.ts';

/* eslint-disable @typescript-eslint/no-explicit-any -- the files' shapes are stated where they are read */

describe.each(reference<{ cases: any[] }>('panel').cases)('severity and components: $id', (c) => {
  const cells = cellsOf(c.input.ratings);

  test('two-way effects, fair values and their errors (R lm)', () => {
    const e = c.expected.twoway;
    const found = severity(cells);
    if (!e || e.note === 'needs >=2 tasks and >=2 reviewers') return;
    expect(found?.components).toBe(e.components);
    if (e.components !== 1) {
      expect(found?.effects.every((x) => x === undefined)).toBe(true);
      expect([found?.grandMean, found?.df, found?.sigma]).toEqual([
        undefined,
        undefined,
        undefined,
      ]);
      return;
    }
    near(found?.grandMean, e.grandMean, 'grand mean');
    c.input.reviewers.forEach((r: string, j: number) => {
      near(found?.effects[j], e.reviewerEffect[r], `effect ${r}`);
      if (e.reviewerSE) near(found?.effectErrors[j], e.reviewerSE[r], `error ${r}`);
    });
    c.input.tasks.forEach((t: string, i: number) => {
      near(found?.fair[i], e.adjustedTaskMean[t], `fair ${t}`);
    });
  });

  test('variance components by REML and mean squares, and the D-study (R, lme4)', () => {
    const v = c.expected.variance;
    if (v?.REML) {
      const found = componentsByReml(cells);
      near(found?.task, v.REML.task, 'REML task', 1e-8);
      near(found?.reviewer, v.REML.reviewer, 'REML reviewer', 1e-8);
      near(found?.residual, v.REML.residual, 'REML residual', 1e-8);
      for (const [n, e] of Object.entries<any>(v.dstudy ?? {})) {
        const d = found && dependability(found, Number(n));
        if (e.G === null || !d) continue;
        near(d.g, e.G, `G ${n}`, 1e-8);
        near(d.phi, e.Phi, `Phi ${n}`, 1e-8);
      }
      for (const [phi, n] of Object.entries<any>(v.reviewersForPhi ?? {})) {
        if (found && n !== null) expect(reviewersForPhi(found, Number(phi))).toBe(n);
      }
    }
    if (v?.EMS && completeRows(cells).length === cells.length) {
      const found = componentsByMeanSquares(completeRows(cells));
      near(found?.task, v.EMS.task, 'EMS task');
      near(found?.residual, v.EMS.residual, 'EMS residual');
    }
  });
});

describe.each(reference<{ cases: any[] }>('three-facet').cases)(
  'piece x reviewer x trial: $id',
  (c) => {
    test('components by mean squares and D-study (R)', () => {
      const e = c.expected.EMS;
      if (!e) return;
      const size = (key: string): number => Math.max(...c.input.rows.map((r: any) => r[key]));
      const at = (p: number, r: number, t: number): number =>
        c.input.rows.find((x: any) => x.e === p + 1 && x.r === r + 1 && x.t === t + 1).y;
      const indices = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
      const cube = indices(size('e')).map((p) =>
        indices(size('r')).map((r) => indices(size('t')).map((t) => at(p, r, t))),
      );
      const found = threeFacetComponents(cube);
      for (const [ours, theirs] of [
        ['piece', 'e'],
        ['reviewer', 'r'],
        ['trial', 't'],
        ['pieceReviewer', 'er'],
        ['pieceTrial', 'et'],
        ['reviewerTrial', 'rt'],
        ['residual', 'ert'],
      ] as const) {
        near(found?.[ours], e.var[theirs], ours);
      }
      for (const [key, d] of Object.entries<any>(c.expected.dstudy ?? {})) {
        const [reviewers = 1, trials = 1] = key.split('x').map(Number);
        const got = found && threeFacetDependability(found, reviewers, trials);
        near(got?.g, d.G, `G ${key}`);
        near(got?.phi, d.Phi, `Phi ${key}`);
      }
    });
  },
);

describe('interlaboratory statistics', () => {
  const file = reference<{ cases: any[]; criticalValues: Record<string, any> }>('interlaboratory');

  test.each(file.cases)('$id: h, k, Grubbs, Algorithm A (R)', (c) => {
    const x: number[][][] = c.input.x;
    (x[0] ?? []).forEach((_, task) => {
      const trials = x.map((reviewer) => reviewer[task] ?? []);
      const found = mandel(trials);
      c.expected.h.forEach((row: number[], j: number) => near(found?.h[j], row[task], 'h'));
      c.expected.k.forEach((row: number[], j: number) => near(found?.k[j], row[task], 'k'));
      const means = trials.map((t) => t.reduce((s, v) => s + v, 0) / t.length);
      near(grubbs(means), c.expected.grubbsG[task], 'Grubbs');
      const robust = algorithmA(means);
      near(robust?.mean, c.expected.algA[task].mean, 'Algorithm A mean');
      near(robust?.sd, c.expected.algA[task].sd, 'Algorithm A sd');
    });
  });

  test('critical values for 3 to 12 reviewers', () => {
    for (const [p, e] of Object.entries(file.criticalValues)) {
      for (const [alpha, v] of Object.entries<number>(e.h))
        near(mandelHCritical(Number(p), Number(alpha)), v, `h ${p}`);
      for (const [n, byAlpha] of Object.entries<Record<string, number>>(e.k)) {
        for (const [alpha, v] of Object.entries(byAlpha)) {
          near(mandelKCritical(Number(p), Number(n), Number(alpha)), v, `k ${p} ${n}`);
        }
      }
      for (const [alpha, v] of Object.entries<number>(e.grubbs2))
        near(grubbsCritical(Number(p), Number(alpha)), v, `G ${p}`);
    }
  });
});

describe('two rounds', () => {
  const file = reference<{ cases: any[]; exactSignedRank: any[] }>('two-rounds');

  test.each(file.cases)('$id: stability by task and pooled signed rank (SciPy)', (c) => {
    c.expected.perTask.forEach((e: any, i: number) => {
      const found = taskStability(c.input.round1[i], c.input.round2[i]);
      near((found?.shareChanged ?? 0) * 100, e.pctChanged, 'changed');
      near(found?.meanAbsoluteChange, e.meanAbsChange, 'mean change');
      near(found?.medianChange, e.medianChange, 'median change');
      near((found?.histogramChange ?? 0) * 100, e.histogramChangePct, 'histogram');
    });
    near(
      pooledShift(c.input.round1, c.input.round2)?.p,
      c.expected.pooledWilcoxon.p_normal_corrected,
      'p',
    );
  });

  test('exact signed-rank p (SciPy)', () => {
    for (const c of file.exactSignedRank) near(signedRank(c.d)?.p, c.p_exact, 'p');
  });
});

test.each(reference<{ cases: any[] }>('rating-scale-model').cases)(
  'rating-scale model: $id (R VGAM)',
  (c) => {
    const tasks = [...new Set<string>(c.input.rows.map((r: any) => r.task))];
    const reviewers = [...new Set<string>(c.input.rows.map((r: any) => r.reviewer))];
    const ratings = c.input.rows
      .filter((r: any) => r.y !== null)
      .map((r: any) => ({
        task: tasks.indexOf(r.task),
        reviewer: reviewers.indexOf(r.reviewer),
        category: r.y,
      }));
    const found = ratingScaleModel(
      ratings,
      tasks.length,
      reviewers.length,
      Math.max(...c.input.categories),
    );
    near(found?.logLikelihood, c.expected.logLik, 'log-likelihood', 1e-5);
    tasks.forEach((t, i) => {
      if (c.expected.taskMeasure[t] !== undefined)
        near(found?.task[i], c.expected.taskMeasure[t], t, 1e-5);
    });
    reviewers.forEach((r, j) => {
      near(found?.severity[j], c.expected.severity[r], r, 1e-5);
      near(found?.reviewerFit[j]?.infit, c.expected.fitReviewer.infit[r], `infit ${r}`, 1e-5);
    });
  },
);

test.each(reference<{ cases: any[] }>('comparison').cases)('comparison: $id (R)', (c) => {
  const { evalA, evalB, timeReference, timeEquipped, catalogue, x } = c.input;
  const pairs = evalA.map((a: number, i: number) => [a, evalB[i]] as const);
  const difference = pairedDifference(pairs);
  near(difference?.mean, c.expected.meanDiff, 'mean');
  near(difference?.limits[0], c.expected.ci95[0], 'lower');
  near(difference?.limits[1], c.expected.ci95[1], 'upper');
  near(probabilityOfSuperiority(evalA, evalB), c.expected.probSuperiority, 'superiority');
  near(pairedSuperiority(pairs), c.expected.pairedProbSuperiority, 'paired superiority');
  near(standing(x, catalogue), c.expected.percentileStanding, 'standing');
  const ratio = timeRatio(
    timeReference.map((r: number, i: number) => ({ reference: r, equipped: timeEquipped[i] })),
  );
  near(ratio?.ratio, c.expected.geoMeanTimeRatio, 'ratio');
  near(ratio?.limits[0], c.expected.ratioCI95[0], 'ratio lower');
});

test.each(reference<{ cases: any[] }>('random-effects').cases)(
  'random effects: $id (R metafor)',
  (c) => {
    for (const method of ['DL', 'REML', 'PM'] as const) {
      const e = c.expected[method];
      if (!e) continue;
      const found = randomEffects(c.input.y, c.input.v, method);
      near(found?.tau2, e.tau2, `${method} tau2`, 1e-6);
      near(found?.mu, e.mu, `${method} mu`, 1e-6);
      near(found?.se, e.se, `${method} se`, 1e-6);
      near(found?.q, e.Q, `${method} Q`);
      near((found?.i2 ?? 0) * 100, e.I2, `${method} I2`, 1e-5);
      if (e.knha) near(found?.adjusted.se, e.knha.se, `${method} Knapp-Hartung`, 1e-6);
      if (e.blup) {
        e.blup.pred.forEach((p: number, i: number) =>
          near(found?.shrunken[i]?.value, p, 'shrunken', 1e-6),
        );
        e.blup.se.forEach((s: number, i: number) =>
          near(found?.shrunken[i]?.se, s, 'shrunken se', 1e-6),
        );
      }
    }
  },
);

test('Wilson limits: 10 of 10 leaves a lower limit of 0.72', () => {
  printed(wilson(10, 10)?.[0] ?? NaN, 0.7225, 4);
});
