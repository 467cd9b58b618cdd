import { figure, noFigure, type Figure } from './figure.ts';
import { median, quantile } from './quantile.ts';
import { pointCount, type RatingScale } from './table.ts';

/** Constants of the interpercentile rule, in scale points (`range`) and per point of asymmetry (`factor`). */
export interface AppropriatenessConstants {
  range: number;
  factor: number;
}

/** Whether a panel is polarised on one task, by the spread between its 30th and 70th percentile. */
export interface Appropriateness {
  median: number;
  p30: number;
  p70: number;
  /** p70 - p30, and their midpoint. */
  ipr: number;
  centre: number;
  /** Distance of that midpoint from the middle of the scale. */
  asymmetry: number;
  /** The spread allowed for that asymmetry. */
  ipras: number;
  /** ipr / ipras; above 1 the panel disagrees. */
  index: number;
  disagreement: boolean;
}

/** Fewest ratings: with three the rule agrees with the thirds rule only two times in three (enumerated). */
export const MIN_RATINGS = 4;

/**
 * 2.35 and 1.5 as published for nine points; on other scales the first shrinks with the width (1.46875 on
 * 0..5), a scaling of ours. Source: the RAND/UCLA manual, Fitch et al. 2001 (constants seen in secondary
 * sources).
 */
export const appropriatenessConstants = (scale: RatingScale): AppropriatenessConstants => ({
  range: (2.35 * (scale.max - scale.min)) / 8,
  factor: 1.5,
});

/**
 * Interpercentile range adjusted for symmetry, type-7 percentiles (the constants belong to the percentile
 * rule). Disagreement is strict: IPR > IPRAS. Undefined below four ratings. A badge, never the flag: it sees
 * polarisation at both ends and little else. Source: as above.
 */
export const appropriateness = (
  values: readonly number[],
  scale: RatingScale,
  constants = appropriatenessConstants(scale),
): Figure<Appropriateness> => {
  const p30 = quantile(values, 0.3);
  const p70 = quantile(values, 0.7);
  const middle = median(values);
  if (values.length < MIN_RATINGS || p30 === undefined || p70 === undefined) {
    return noFigure(`fewer than ${String(MIN_RATINGS)} ratings`);
  }
  const ipr = p70 - p30;
  const centre = (p30 + p70) / 2;
  const asymmetry = Math.abs((scale.min + scale.max) / 2 - centre);
  const ipras = constants.range + constants.factor * asymmetry;
  return figure({
    median: middle ?? centre,
    p30,
    p70,
    ipr,
    centre,
    asymmetry,
    ipras,
    index: ipr / ipras,
    disagreement: ipr > ipras + 1e-12,
  });
};

/** The smallest panel the published table names; the largest is 16. */
const TABLE_FROM = 8;

/**
 * How many ratings each end third must hold for disagreement in a panel of `n`. The published table: 3 for panels
 * of 8 to 10, 4 for 11 to 13, 5 for 14 to 16, which is a third to the nearest whole number. Outside the table the
 * choice is ours: above it the same row pattern goes on; below it a whole third, ceil(n / 3), so that in a panel
 * of four no single rating counts as an end. Source: Fitch et al. 2001, RAND/UCLA manual, its definitions of
 * disagreement by panel size, read as reprinted in BMC Medical Informatics and Decision Making 2012, 12:93, table 7.
 */
export const thirdsNeeded = (n: number): number =>
  n < TABLE_FROM ? Math.ceil(n / 3) : Math.floor((n + 1) / 3);

/**
 * The classic rule: enough of the panel (`thirdsNeeded`) in the lowest third of the scale and as many in the
 * highest; for nine members 3 in 1-3 and 3 in 7-9. A point belongs to an end third when its middle does:
 * (x - min + 1/2) / points below 1/3 or above 2/3, so {0, 1} and {4, 5} on 0..5. Undefined below three ratings.
 * Source: as above for nine points; other scales are our extension.
 */
export const thirdsDisagreement = (
  values: readonly number[],
  scale: RatingScale,
): Figure<boolean> => {
  if (values.length < 3) return noFigure('fewer than three ratings');
  // Whole numbers throughout, for ratings on whole points: six times the place against two and four times a third.
  const place = (x: number): number => 3 * (2 * (x - scale.min) + 1);
  const points = pointCount(scale);
  const needed = thirdsNeeded(values.length);
  const low = values.filter((x) => place(x) < 2 * points).length;
  const high = values.filter((x) => place(x) > 4 * points).length;
  return figure(low >= needed && high >= needed);
};
