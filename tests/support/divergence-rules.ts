import { adMean, adMedian, interquartileRange, range } from '../../server/src/consensus/spread.ts';
import { aWg } from '../../server/src/consensus/a-wg.ts';
import { madE } from '../../server/src/consensus/algorithm-a.ts';
import { appropriateness, thirdsDisagreement } from '../../server/src/consensus/appropriateness.ts';
import { distancesFromOthers, ratingFlags } from '../../server/src/consensus/divergence.ts';
import {
  defaultRule,
  lenientRule,
  strictRule,
} from '../../server/src/consensus/divergence-rule.ts';
import { valueOf } from '../../server/src/consensus/figure.ts';
import { grubbs, grubbsCritical } from '../../server/src/consensus/grubbs.ts';
import { variance } from '../../server/src/consensus/mean.ts';
import { median } from '../../server/src/consensus/quantile.ts';
import { rWg } from '../../server/src/consensus/r-wg.ts';
import type { RatingScale } from '../../server/src/consensus/table.ts';

const scale: RatingScale = { min: 0, max: 5, better: 'higher' };
const CUT = 1 + 1e-12;

const shipped = (rule: ReturnType<typeof defaultRule>) => (x: readonly number[]) =>
  ratingFlags(
    {
      steps: x.map((value, j) => ({ reviewer: String(j), value })),
      notApplicable: [],
      critical: [],
    },
    rule,
  ).length > 0;

const furthest = (x: readonly number[]): number => {
  const centre = median(x) ?? 0;
  return Math.max(...x.map((v) => Math.abs(v - centre)));
};
const loneliest = (x: readonly number[]): number => Math.max(...distancesFromOthers(x));
const isDissent = (x: readonly number[]): boolean =>
  valueOf(appropriateness(x, scale))?.disagreement ?? false;

/** The rules of the simulation that this code holds, by the names of the table; each says "flagged". */
export const divergenceRules: Record<string, (x: readonly number[]) => boolean> = {
  'SD > 1': (x) => Math.sqrt(variance(x) ?? 0) > CUT,
  'range >= 3': shipped(strictRule(scale)),
  'AD_Md > A/6': (x) => (adMedian(x) ?? 0) > CUT,
  'AD_M > A/6': (x) => (adMean(x) ?? 0) > CUT,
  'a_wg < 0.70 (where valid)': (x) => (valueOf(aWg(x, scale)) ?? 1) < 0.7 - 1e-12,
  'r_wg < 0.70 (uniform null)': (x) => (valueOf(rWg(x, scale)) ?? 1) < 0.7 - 1e-12,
  'IPR > IPRAS (1.47, 1.5)': isDissent,
  'thirds rule': (x) => valueOf(thirdsDisagreement(x, scale)) ?? false,
  'max abs(x - median) >= 2': (x) => furthest(x) >= 2,
  'max abs(x - median) >= 3': shipped(lenientRule(scale)),
  'robust z > 2, MADe floor 0.75': (x) => furthest(x) / Math.max(madE(x), 0.75) > 2,
  'Grubbs 5 %': (x) => (grubbs(x) ?? 0) > grubbsCritical(x.length, 0.05),
  'max LOO distance >= 2.5': (x) => loneliest(x) >= 2.5 - 1e-9,
  'D1: LOO >= 2.5 or AD_Md > A/6': shipped(defaultRule(scale)),
  'D2: LOO >= 2.5 or IQR >= 2': (x) =>
    loneliest(x) >= 2.5 - 1e-9 || (interquartileRange(x) ?? 0) >= 2 || (range(x) ?? 0) > 5,
};
