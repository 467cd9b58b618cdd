import { describe, expect, test } from 'vitest';
import published from '../../fixtures/reference/published-agreement.json' with { type: 'json' };
import {
  appropriateness,
  thirdsDisagreement,
  thirdsNeeded,
} from '../../server/src/consensus/appropriateness.ts';
import { brennanPrediger } from '../../server/src/consensus/brennan-prediger.ts';
import { cohenKappa } from '../../server/src/consensus/cohen-kappa.ts';
import { fleiss } from '../../server/src/consensus/fleiss.ts';
import { gwet } from '../../server/src/consensus/gwet.ts';
import { icc, type IccForm } from '../../server/src/consensus/icc.ts';
import { kendallW } from '../../server/src/consensus/kendall-w.ts';
import {
  krippendorffAlpha,
  type AlphaMetric,
} from '../../server/src/consensus/krippendorff-alpha.ts';
import { adCut } from '../../server/src/consensus/spread.ts';
import { must } from '../support/expect-figure.ts';
import { printed } from '../support/check-list.ts';
import { cellsOf } from '../support/reference.ts';

/** Citations, and where each example was seen, stand in the fixture beside its numbers. */
const example = <Input, Expected>(id: string): { input: Input; expected: Expected } => {
  const found: unknown = published.examples.find((e) => e.id === id);
  if (!found) throw new Error(`no example ${id}`);
  return found as { input: Input; expected: Expected };
};

interface Ratings {
  ratings: (number | null)[][];
}
interface PrintedIcc {
  icc: number;
  F: number;
  df1: number;
  df2: number;
  p: number;
  ci: [number, number];
}
interface PrintedGwet {
  pa: number;
  AC: { est: number; pe: number; se: number; p: number };
  fleiss: { est: number; pe: number };
  BP: { est: number };
}
type PrintedTable = Record<'pa' | 'cohen' | 'cohen_se' | 'scott' | 'AC' | 'AC_se' | 'BP', number>;
type PrintedKappa = Record<'kappa' | 'z' | 'p', number>;

/** Printed with raters in the rows: rows become columns. */
const transposed = <T>(rows: readonly (readonly T[])[]): T[][] =>
  (rows[0] ?? []).map((_, j) => rows.map((row) => row[j] as T));

describe('Shrout & Fleiss 1979, Table 2: 6 targets, 4 judges', () => {
  const { input, expected } = example<Ratings, Record<IccForm, PrintedIcc>>('shrout_fleiss_1979');
  const table = must(icc(cellsOf(input.ratings)));
  // Full digits: R psych 2.2.9.
  const digits = {
    '1,1': 0.1657418,
    '2,1': 0.2897638,
    '3,1': 0.7148407,
    '1,k': 0.4427971,
    '2,k': 0.6200505,
    '3,k': 0.9093155,
  };
  test.each(Object.keys(digits) as IccForm[])('ICC(%s) as printed', (form) => {
    const f = must(table.forms[form]);
    const ends = must(f.interval);
    printed(f.estimate, expected[form].icc, 2);
    printed(f.estimate, digits[form], 7);
    printed(ends.lower, expected[form].ci[0], 2);
    printed(ends.upper, expected[form].ci[1], 2);
  });
  test.each(['1,1', '2,1', '3,1'] as const)('F test of ICC(%s) as printed', (form) => {
    const f = must(table.forms[form]);
    const { f: ratio, p } = must(f.test);
    expect([f.df1, f.df2]).toEqual([expected[form].df1, expected[form].df2]);
    printed(ratio, expected[form].F, 1);
    // The fixture's 0.16472 for ICC(1,1) is not the tail of its own F: mpmath gives 0.164768808345.
    expect(p).toBeCloseTo(
      form === '1,1' ? 0.164768808345 : expected[form].p,
      form === '1,1' ? 12 : 5,
    );
  });
});

describe('Krippendorff 2011, example C: 4 observers, 12 units, absent data', () => {
  const { input, expected } = example<Ratings, Record<AlphaMetric, number>>('krippendorff_2011_C');
  const cells = cellsOf(transposed(input.ratings));
  const digits = {
    nominal: 0.743421052632,
    ordinal: 0.815387503755,
    interval: 0.849107142857,
    ratio: 0.797402774712,
  };
  test.each(Object.keys(digits) as AlphaMetric[])('alpha, %s metric', (metric) => {
    const alpha = must(krippendorffAlpha(cells, metric));
    printed(alpha, expected[metric], 3);
    printed(alpha, digits[metric], 12);
  });
});

describe('Gwet 2014: 4 raters, 12 subjects, absent data', () => {
  const { input, expected } = example<
    Ratings & { categories: number[] },
    Record<'identity' | 'quadratic', PrintedGwet>
  >('gwet_raw4raters');
  const cells = cellsOf(input.ratings);
  test.each(['identity', 'quadratic'] as const)('AC, Fleiss and BP, %s weights', (w) => {
    const want = expected[w];
    const ac = must(gwet(cells, input.categories, w));
    const { se, p } = must(ac.inference);
    printed(ac.observed, want.pa, 7);
    printed(ac.expected, want.AC.pe, 7);
    printed(ac.estimate, want.AC.est, 5);
    printed(se, want.AC.se, 5);
    if (w === 'identity') printed(p ?? NaN, want.AC.p, 9);
    printed(must(fleiss(cells, input.categories, w)).estimate, want.fleiss.est, 5);
    printed(must(fleiss(cells, input.categories, w)).expected, want.fleiss.pe, 7);
    printed(must(brennanPrediger(cells, input.categories, w)).estimate, want.BP.est, 5);
  });
});

/** A printed table of counts back into its pairs of ratings. */
const pairsOf = (counts: readonly (readonly number[])[]): [number, number][] =>
  counts.flatMap((row, a) =>
    row.flatMap((n, b) => Array.from({ length: n }, (): [number, number] => [a, b])),
  );

describe('Gwet 2014: 3 by 3 table of two abstractors', () => {
  const { input, expected } = example<
    { table: number[][] },
    Record<'identity' | 'quadratic', PrintedTable>
  >('gwet_cont3x3');
  const pairs = pairsOf(input.table);
  test.each(['identity', 'quadratic'] as const)('kappa, AC, Scott, BP, %s weights', (w) => {
    const want = expected[w];
    const kappa = must(cohenKappa(pairs, [0, 1, 2], w));
    printed(kappa.observed, want.pa, 7);
    printed(kappa.estimate, want.cohen, 7);
    const ac = must(gwet(pairs, [0, 1, 2], w));
    printed(ac.estimate, want.AC, 7);
    printed(must(fleiss(pairs, [0, 1, 2], w)).estimate, want.scott, 7);
    printed(must(brennanPrediger(pairs, [0, 1, 2], w)).estimate, want.BP, 7);
  });
  // From a table of counts Gwet divides by n; from ratings, as we do for AC, by n - 1.
  test.each(['identity', 'quadratic'] as const)('standard errors, %s weights', (w) => {
    const { se, tasks } = must(cohenKappa(pairs, [0, 1, 2], w));
    printed(se, expected[w].cohen_se, 8);
    const ac = must(must(gwet(pairs, [0, 1, 2], w)).inference);
    printed(ac.se * Math.sqrt((tasks - 1) / tasks), expected[w].AC_se, 8);
  });
});

test('Fleiss 1971: 30 patients, 6 psychiatrists, 5 categories', () => {
  const { input, expected } = example<Ratings, { kappa: number; z: number }>('fleiss_1971');
  const found = must(fleiss(cellsOf(input.ratings), [1, 2, 3, 4, 5], 'identity'));
  printed(found.estimate, expected.kappa, 7);
  printed(must(found.test).z, expected.z, 4);
});

describe('R irr, data "anxiety": weighted kappa of raters 2 and 3', () => {
  const { input, expected } = example<
    { ratings: [number, number, number][] },
    { raters2_3: Record<string, PrintedKappa> }
  >('irr_anxiety_weighted_kappa');
  const pairs = input.ratings.map((r) => [r[1], r[2]] as const);
  // irr leaves out the categories nobody used and spaces the rest evenly.
  const used = [1, 2, 3, 4, 6];
  test.each([
    ['identity', 'unweighted'],
    ['linear', 'linear'],
    ['quadratic', 'quadratic'],
  ] as const)('%s weights: kappa, z and p under chance', (scheme, name) => {
    const want = expected.raters2_3[name];
    if (!want) throw new Error(name);
    const found = must(cohenKappa(pairs, used, scheme));
    const { z, p } = must(found.test);
    printed(found.estimate, want.kappa, 6);
    printed(z, want.z, 6);
    printed(p, want.p, 6);
  });
});

test("Kendall's W: 10 projects ranked by 4 judges, a teaching example", () => {
  const { input, expected } = example<
    { ranks: number[][] },
    { sumD2: number; W_from_formula: number }
  >('kendall_10x4');
  const found = must(kendallW(cellsOf(input.ranks)));
  expect(found.s).toBe(expected.sumD2);
  // One judge's printed ranks hold a tie (2, 2) that the page's formula does not correct for.
  const uncorrected = (12 * found.s) / (4 ** 2 * (10 ** 3 - 10));
  printed(uncorrected, expected.W_from_formula, 12);
});

test('RAND/UCLA constants, BMJ Open 2012 e001431 Table 1: 15 panellists agree', () => {
  const { input, expected } = example<
    { ratings: number[] },
    Record<'median' | 'p30' | 'p70' | 'ipr' | 'iprcp' | 'ai' | 'ipras', number> & {
      disagreement: boolean;
    }
  >('rand_iprr');
  const found = must(appropriateness(input.ratings, { min: 1, max: 9, better: 'higher' }));
  expect(found.median).toBe(expected.median);
  expect([found.p30, found.p70, found.ipr]).toEqual([expected.p30, expected.p70, expected.ipr]);
  expect([found.centre, found.asymmetry]).toEqual([expected.iprcp, expected.ai]);
  printed(found.ipras, expected.ipras, 9);
  expect(found.disagreement).toBe(expected.disagreement);
});

test('RAND/UCLA classic rule: nine members, 3 or more in 1-3 and 3 or more in 7-9', () => {
  const nine = { min: 1, max: 9, better: 'higher' } as const;
  expect(must(thirdsDisagreement([1, 2, 3, 5, 5, 5, 7, 8, 9], nine))).toBe(true);
  expect(must(thirdsDisagreement([1, 2, 4, 5, 5, 5, 7, 8, 9], nine))).toBe(false);
  expect(must(thirdsDisagreement([1, 2, 3, 5, 5, 5, 6, 8, 9], nine))).toBe(false);
});

test('Burke & Dunlap 2002: cut of the average deviation for 5, 7, 9 and 11 options', () => {
  const { expected } = example<object, { AD: Record<string, number> }>('awg_adm_cutoffs');
  // Printed to one decimal: 5/6 as 0.8, 11/6 as 1.8.
  for (const [options, cut] of Object.entries(expected.AD)) {
    expect(Math.abs(adCut(Number(options)) - cut)).toBeLessThan(0.051);
  }
});

test('RAND/UCLA disagreement by panel size, BMC Med Inform Decis Mak 2012 12:93 Table 7: 8 to 16 members', () => {
  const nine = { min: 1, max: 9, better: 'higher' } as const;
  const { expected } = example<object, { members: number; each_extreme: number }[]>('rand_sizes');
  expect(expected.map((row) => row.members)).toEqual([8, 9, 10, 11, 12, 13, 14, 15, 16]);
  for (const { members, each_extreme: needed } of expected) {
    printed(thirdsNeeded(members), needed, 9, `${String(members)} members`);
    const panel = (low: number, high: number): number[] => [
      ...Array.from({ length: low }, (_, i) => 1 + (i % 3)),
      ...Array.from({ length: high }, (_, i) => 7 + (i % 3)),
      ...Array.from({ length: members - low - high }, (_, i) => 4 + (i % 3)),
    ];
    expect(must(thirdsDisagreement(panel(needed, needed), nine))).toBe(true);
    expect(must(thirdsDisagreement(panel(needed - 1, needed + 1), nine))).toBe(false);
    expect(must(thirdsDisagreement(panel(needed + 1, needed - 1), nine))).toBe(false);
  }
});
