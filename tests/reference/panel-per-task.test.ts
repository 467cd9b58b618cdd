import { describe, expect, test } from 'vitest';
import panel from '../../fixtures/reference/panel.json' with { type: 'json' };
import { madE } from '../../server/src/consensus/algorithm-a.ts';
import { appropriateness } from '../../server/src/consensus/appropriateness.ts';
import { aWg } from '../../server/src/consensus/a-wg.ts';
import { distancesFromOthers, ratingFlags } from '../../server/src/consensus/divergence.ts';
import { defaultRule } from '../../server/src/consensus/divergence-rule.ts';
import { mean, variance } from '../../server/src/consensus/mean.ts';
import { median, quantile } from '../../server/src/consensus/quantile.ts';
import { maximumDissensus, rWg, rWgJ, rWgTruncated } from '../../server/src/consensus/r-wg.ts';
import { adMean, adMedian, interquartileRange, range } from '../../server/src/consensus/spread.ts';
import { present, type RatingScale } from '../../server/src/consensus/table.ts';
import { expectFigure } from '../support/expect-figure.ts';
import { cellsOf, near } from '../support/reference.ts';

/**
 * Per-task figures of the eighteen tables. Expected: R 4.2.2 (mean, median, sd, type-7 quantiles) and R's
 * multilevel 2.7 (AD, r_wg, a_wg), own scripts for the rest; 15 digits, tolerance 1e-9.
 */
const scale: RatingScale = { min: 0, max: 5, better: 'higher' };

interface PerTask {
  n: number;
  mean: number;
  median: number;
  sd: number | null;
  range: number;
  q25_t7: number;
  q75_t7: number;
  AD_M: number;
  AD_Md: number;
  made1483: number;
  rwg_uniform_raw: number | null;
  rwg_uniform_trunc: number | null;
  rwg_star_maxdissensus: number | null;
  awg: number | null;
  awg_mean_lo: number;
  awg_mean_hi: number;
  ipras?: Record<string, number | boolean | null> | null;
  looMax: number | null;
  loo: (number | null)[];
  flagD1: boolean | null;
}
interface Case {
  id: string;
  input: { ratings: (number | null)[][] };
  expected: { perTask: Record<string, PerTask>; scale?: Record<string, number | null> };
}
const cases = panel.cases as unknown as Case[];

const location = (x: readonly number[], want: PerTask): void => {
  near(mean(x), want.mean, 'mean');
  near(median(x), want.median, 'median');
  near(range(x), want.range, 'range');
  near(quantile(x, 0.25), want.q25_t7, 'lower quartile');
  near(quantile(x, 0.75), want.q75_t7, 'upper quartile');
  near(interquartileRange(x), want.q75_t7 - want.q25_t7, 'interquartile range');
  near(adMean(x), want.AD_M, 'AD about the mean');
  near(adMedian(x), want.AD_Md, 'AD about the median');
  near(madE(x), want.made1483, 'MADe');
  if (x.length > 1) near(Math.sqrt(variance(x) ?? NaN), want.sd ?? NaN, 'sd');
};

const withinGroup = (x: readonly number[], want: PerTask): void => {
  const one = x.length < 2;
  expectFigure(rWg(x, scale), one ? null : want.rwg_uniform_raw, 'r_wg');
  expectFigure(rWgTruncated(x, scale), one ? null : want.rwg_uniform_trunc, 'r_wg truncated');
  const dissensus = maximumDissensus(scale);
  const star = rWgTruncated(x, scale, dissensus);
  expectFigure(star, one ? null : Math.max(0, want.rwg_star_maxdissensus ?? NaN), 'r*_wg');
  const inside = want.mean >= want.awg_mean_lo - 1e-9 && want.mean <= want.awg_mean_hi + 1e-9;
  expectFigure(aWg(x, scale), one || !inside ? null : want.awg, 'a_wg');
};

const polarised = (x: readonly number[], want: PerTask): void => {
  const found = appropriateness(x, scale);
  if (x.length < 4) {
    expect(found).toEqual({ ok: false, why: 'fewer than 4 ratings' });
    return;
  }
  if (!found.ok || !want.ipras) throw new Error('no figure');
  const names = {
    p30: 'p30',
    p70: 'p70',
    ipr: 'ipr',
    centre: 'iprcp',
    asymmetry: 'ai',
    ipras: 'ipras',
    index: 'di',
  } as const;
  for (const [ours, theirs] of Object.entries(names)) {
    near(found.value[ours as 'p30'], want.ipras[theirs] as number, ours);
  }
  expect(found.value.disagreement).toBe(want.ipras['disagreement']);
};

const divergence = (x: readonly number[], want: PerTask): void => {
  if (want.flagD1 === null || want.flagD1 === undefined) return;
  const distances = distancesFromOthers(x);
  const loo = want.loo.filter((d) => d !== null);
  loo.forEach((d, j) => {
    near(distances[j], d, 'distance from the others');
  });
  near(Math.max(...distances), want.looMax ?? NaN, 'largest distance');
  const steps = x.map((value, j) => ({ reviewer: String(j), value }));
  const flags = ratingFlags({ steps, notApplicable: [], critical: [] }, defaultRule(scale));
  expect(flags.length > 0).toBe(want.flagD1);
  const named = flags.find((f) => f.kind === 'lone-voice')?.reviewers ?? [];
  expect(named).toEqual(loo.flatMap((d, j) => (d >= 2.5 ? [String(j)] : [])));
};

describe.each(cases)('$id', ({ input, expected }) => {
  const rows = cellsOf(input.ratings).map(present);
  const tasks = rows.flatMap((x, i) => {
    const want = Object.values(expected.perTask)[i];
    return x.length > 0 && want ? [{ x, want }] : [];
  });

  test('location and spread', () => {
    expect(tasks.length).toBeGreaterThan(0);
    for (const { x, want } of tasks) location(x, want);
  });
  test('r_wg and a_wg', () => {
    for (const { x, want } of tasks) withinGroup(x, want);
  });
  test('interpercentile range adjusted for symmetry', () => {
    for (const { x, want } of tasks) polarised(x, want);
  });
  test('CO-1: rule D1 flags the same tasks and names the same reviewers', () => {
    for (const { x, want } of tasks) divergence(x, want);
  });
  if (expected.scale)
    test('r_wg(J) and the mean AD over tasks', () => {
      expectFigure(rWgJ(rows, scale), expected.scale?.['rwg_j_uniform'], 'r_wg(J)');
      const averages = { AD_M_J: adMean, AD_Md_J: adMedian };
      for (const [key, ad] of Object.entries(averages)) {
        const values = rows.map(ad).filter((d) => d !== undefined);
        near(mean(values), expected.scale?.[key] ?? NaN, key);
      }
    });
});

test('some tasks of the tables are flagged and some are not', () => {
  const flags = cases.flatMap((c) => Object.values(c.expected.perTask).map((t) => t.flagD1));
  expect(flags.filter((f) => f === true).length).toBeGreaterThan(5);
  expect(flags.filter((f) => f === false).length).toBeGreaterThan(50);
});
