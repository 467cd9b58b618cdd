import { dependability, reviewersForPhi } from '../consensus/dependability.ts';
import { upperF } from '../consensus/distributions.ts';
import { defaultRule } from '../consensus/divergence-rule.ts';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { severity, type SeverityFit } from '../consensus/severity.ts';
import { completeRows, present, type RatingCells } from '../consensus/table.ts';
import {
  componentsByMeanSquares,
  componentsByReml,
  type VarianceComponents,
} from '../consensus/variance-components.ts';
import { agreementFigures, type Chance } from './agreement-figures.ts';
import type { Analysis } from './analysis.ts';
import { compositeFigures } from './composite-figures.ts';
import { noted, orWhy } from './noted.ts';
import { ratingScaleFigures } from './rating-scale-figures.ts';
import type { RatingSource } from './rating-source.ts';
import { reviewerFigures } from './reviewer-figures.ts';
import { roundFigures } from './round-figures.ts';
import { GENERATOR } from './seeded-chance.ts';
import { taskFigures } from './task-figures.ts';

/** The dependability that the number of reviewers is asked for. */
const WANTED_PHI = 0.8;

const countsOf = (cells: RatingCells, reviewers: number): Analysis['counts'] => {
  const ratings = cells.reduce((n, row) => n + present(row).length, 0);
  return { tasks: cells.length, reviewers, ratings, absent: cells.length * reviewers - ratings };
};

const severityTest = (
  habits: SeverityFit | undefined,
): Figure<NonNullable<Analysis['severity_test']>> => {
  if (habits?.f === undefined || habits.df === undefined)
    return noFigure('no residual variation to test against');
  const { f, df1, df } = habits;
  return figure({ f, df1, df2: df, p: upperF(f, df1, df) });
};

const varianceOf = (
  reml: VarianceComponents | undefined,
  ems: VarianceComponents | undefined,
): Analysis['variance'] =>
  noted({
    reml: orWhy(reml, 'too few tasks and reviewers, no variation, or no residual'),
    ems: orWhy(ems, 'needs two tasks and two reviewers without an absent cell'),
  });

const dependabilityOf = (
  reml: VarianceComponents | undefined,
  reviewers: number,
): Analysis['dependability'] => {
  const study = reml && dependability(reml, reviewers);
  const why = reml ? 'the tasks do not differ' : 'no variance components';
  return {
    ...noted({
      g: orWhy(study?.g, why),
      phi: orWhy(study?.phi, why),
      sem: orWhy(study?.semAbsolute, why),
      reviewers_for_phi_80: orWhy(reml && reviewersForPhi(reml, WANTED_PHI), why),
    }),
    reviewers,
  };
};

/**
 * Every figure of a list of ratings. `chance` feeds the resampled intervals and the permutation test; the same
 * seed gives the same figures, and without any they are left out. The universe of the dependability is this evaluation's tasks, rated by the mean
 * of as many reviewers as the list has.
 */
export const analyse = (
  source: RatingSource,
  chance: Chance | null,
  options: { exploratory?: boolean } = {},
): Analysis => {
  const { table } = source;
  const rule = defaultRule(table.scale);
  const habits = severity(table.cells);
  const reml = componentsByReml(table.cells);
  const rows = completeRows(table.cells);
  const ems = rows.length === table.cells.length ? componentsByMeanSquares(rows) : undefined;
  return {
    scale: table.scale,
    generator: GENERATOR,
    counts: countsOf(table.cells, table.reviewers.length),
    rule: { id: rule.id, lone: rule.lone, split: rule.split },
    tasks: taskFigures(source, rule, habits),
    reviewers: reviewerFigures(source, rule, habits),
    ...noted({ severity_test: severityTest(habits) }),
    agreement: agreementFigures(source, reml, chance),
    variance: varianceOf(reml, ems),
    dependability: dependabilityOf(reml, table.reviewers.length),
    composite: compositeFigures(source, chance),
    rounds: roundFigures(source, rule),
    ...(options.exploratory === true ? { rating_scale_model: ratingScaleFigures(source) } : {}),
  };
};
