import { seededChance } from '../../../server/src/analysis/seeded-chance.ts';
import { dependability, reviewersForPhi } from '../../../server/src/consensus/dependability.ts';
import { gwet } from '../../../server/src/consensus/gwet.ts';
import { iccByComponents } from '../../../server/src/consensus/icc-by-components.ts';
import { componentsByReml } from '../../../server/src/consensus/variance-components.ts';
import type { RecordBlock } from '../../../shared-types/src/index.ts';
import type { Day } from './day.ts';
import { facts, para, percent, text, two } from './say.ts';
import { tableOf, type Stand } from './standing.ts';
import { ordinalAlpha, pairsWithin, present, quantile, type Cells } from './sums.ts';

const SEED = 20260101;
const DRAWN = 2000;
const LEAST = 8;

/** Percentile limits of alpha: tasks drawn with replacement, by the seed that the record names. */
const alphaLimits = (cells: Cells): [number, number] | null => {
  const units = cells.filter((row) => present(row).length >= 2);
  if (units.length < LEAST) return null;
  const random = seededChance(SEED).stream();
  const drawn = Array.from({ length: DRAWN }, () =>
    ordinalAlpha(units.map(() => units[Math.floor(random() * units.length)] ?? [])),
  );
  const known = present(drawn);
  return known.length === 0 ? null : [quantile(known, 0.025), quantile(known, 0.975)];
};

/**
 * Agreement of the counted ratings. Alpha, its limits and the pairs are worked out here; correlations, AC2 and
 * dependability rest on REML and Gwet's formulas and are the program's, which tests/reference holds against outside values.
 */
export const agreementFigures = (day: Day, of: readonly Stand[]) => {
  const { seats, cells } = tableOf(day, of, false);
  const { min, max } = day.p.scale;
  const reml = componentsByReml(cells);
  const icc = reml ? iccByComponents(cells, reml) : undefined;
  const points = Array.from({ length: max - min + 1 }, (_, i) => min + i);
  const ac2 = gwet(cells, points, 'quadratic');
  return {
    alpha: ordinalAlpha(cells),
    limits: alphaLimits(cells),
    close: pairsWithin(cells, 1),
    same: pairsWithin(cells, 0),
    single: icc?.ok ? icc.value.agreementSingle : undefined,
    average: icc?.ok ? icc.value.agreementAverage : undefined,
    ac2: ac2.ok ? ac2.value.estimate : undefined,
    phi: reml && dependability(reml, seats.length)?.phi,
    needed: reml && reviewersForPhi(reml, 0.8),
  };
};

/** The sentence's own bounds, by what the figures say together. */
const reading = (day: Day, of: readonly Stand[], alpha: number | undefined): string => {
  if (alpha === undefined) return '';
  if (alpha >= 0.8) return text(80);
  const { cells } = tableOf(day, of, false);
  const reml = componentsByReml(cells);
  const spread = reml ? Math.sqrt(reml.task) / (day.p.scale.max - day.p.scale.min) : 1;
  if (pairsWithin(cells, 1).share >= 0.8 && spread < 0.1) return '';
  return alpha >= 0.667 ? text(667, 80) : text(667);
};

/** Agreement in words and numbers. */
export const agreement = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const f = agreementFigures(day, of);
  const interval = f.limits
    ? text(95, two(f.limits[0]), two(f.limits[1]), DRAWN, SEED)
    : text(LEAST);
  const share = (of_: { n: number; share: number }): string =>
    of_.n === 0 ? '' : percent(of_.share);
  return [
    para(reading(day, of, f.alpha)),
    facts(
      ['', text(two(f.alpha), interval)],
      ['', text(share(f.close), f.close.n)],
      ['', share(f.same)],
      ['', text(two(f.single), two(f.average))],
      // The names of the coefficients and the wanted value.
      ['2', two(f.ac2)],
      ['', text(two(f.phi), 80, f.needed ?? '')],
    ),
    para(667, 80),
  ];
};
