import { known, unknown, type FigureText } from './text.ts';

/**
 * Krippendorff's alpha, ordinal, straight from pairs: disagreement within tasks against disagreement between all
 * pairable ratings, with squared differences of mid-ranks. Source: Krippendorff 2011.
 */
export const alphaOrdinal = (rows: readonly (readonly number[])[]): FigureText => {
  const units = rows.filter((r) => r.length >= 2);
  if (units.length === 0) return unknown('no task with two ratings');
  if (units.length === 1) {
    return unknown('one task alone says nothing about agreement over tasks');
  }
  const all = units.flat().toSorted((a, b) => a - b);
  const rank = new Map(all.map((v) => [v, (all.indexOf(v) + all.lastIndexOf(v)) / 2] as const));
  const square = (a: number, b: number): number => ((rank.get(a) ?? 0) - (rank.get(b) ?? 0)) ** 2;
  const pairs = (values: readonly number[]): number =>
    values.reduce((sum, a) => sum + values.reduce((s, b) => s + square(a, b), 0), 0);
  const observed = units.reduce((sum, u) => sum + pairs(u) / (u.length - 1), 0);
  const expected = pairs(all);
  if (expected === 0) return unknown('no variation: every rating is the same');
  return known(1 - (observed * (all.length - 1)) / expected);
};
