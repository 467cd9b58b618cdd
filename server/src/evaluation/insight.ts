import type { InsightSlice, Protocol, Shown } from '@unhindered/shared-types';
import { agreementReading } from '../consensus/agreement-reading.ts';
import { absences, isDecisive } from '../consensus/absence.ts';
import type { CompositeSection } from '../consensus/composite.ts';
import { dependability, reviewersForPhi } from '../consensus/dependability.ts';
import type { DivergenceConstants } from '../consensus/divergence-rule.ts';
import { noFigure, valueOf, type Figure } from '../consensus/figure.ts';
import { gwet } from '../consensus/gwet.ts';
import { iccByComponents } from '../consensus/icc-by-components.ts';
import { krippendorffAlpha } from '../consensus/krippendorff-alpha.ts';
import { pairAgreement } from '../consensus/pair-agreement.ts';
import { severity, type SeverityFit } from '../consensus/severity.ts';
import { survivesSeverity } from '../consensus/survives-severity.ts';
import { scalePoints, type RatingTable } from '../consensus/table.ts';
import { componentsByReml, type VarianceComponents } from '../consensus/variance-components.ts';
import { ratingTable } from './rating-table.ts';
import { remembered } from './remembered.ts';
import type { TaskStanding } from './standing.ts';
import type { EvaluationState } from './state.ts';
import { compositeSections } from './table-figures.ts';

/** Everything the insight rests on, as plain data: it may be asked in another thread. */
export interface InsightQuestion {
  table: RatingTable;
  sections: CompositeSection[];
  rule: DivergenceConstants;
}

const WANTED_PHI = 0.8;

const rememberedQuestion = remembered<readonly TaskStanding[], InsightQuestion>();

/** The question of an evaluation as it stands; the same object as long as it is the same question. */
export const insightQuestion = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[],
): InsightQuestion =>
  rememberedQuestion(standings, [state.seats, protocol], () => ({
    table: ratingTable(state, protocol, standings, false),
    sections: compositeSections(protocol),
    rule: protocol.divergence,
  }));

const shown = (f: Figure): Shown => (f.ok ? { value: f.value } : { why: f.why });
const orWhy = (value: number | undefined, why: string): Shown =>
  value === undefined ? { why } : { value };

/** Divergent tasks whose flags go away when each reviewer's habit is taken out. */
const carriedByHabit = ({ table, rule }: InsightQuestion, habits: SeverityFit | undefined) => {
  const habit = (reviewer: string): number | undefined =>
    habits?.effects[table.reviewers.indexOf(reviewer)];
  return table.tasks.filter((_, i) => {
    const steps = (table.cells[i] ?? []).flatMap((value, j) =>
      value === undefined ? [] : [{ reviewer: table.reviewers[j] ?? '', value }],
    );
    const answers = { steps, notApplicable: [], critical: [] };
    const as = survivesSeverity(answers, rule, () => 0);
    const without = survivesSeverity(answers, rule, habit);
    return as.ok && as.value && without.ok && !without.value;
  });
};

const reviewersOf = (
  question: InsightQuestion,
  habits: SeverityFit | undefined,
): InsightSlice['reviewers'] => {
  const { table, sections, rule } = question;
  const without = absences(table, sections, rule);
  const why = habits && habits.components > 1 ? 'not connected by common tasks' : 'too few ratings';
  return table.reviewers.map((seat, j) => ({
    seat,
    n: table.cells.filter((row) => row[j] !== undefined).length,
    severity: orWhy(habits?.effects[j], why),
    error: orWhy(habits?.effectErrors[j], 'no residual'),
    change: shown(without[j]?.change ?? noFigure(why)),
    decisive: isDecisive(without[j]?.change ?? noFigure(why), table.scale),
    alpha: shown(without[j]?.alpha ?? noFigure(why)),
    flagsGone: without[j]?.flagsGone ?? [],
    flagsNew: without[j]?.flagsNew ?? [],
  }));
};

const readingOf = (
  { cells, scale }: RatingTable,
  reml: VarianceComponents | undefined,
): InsightSlice['reading'] => {
  const alpha = krippendorffAlpha(cells, 'ordinal');
  const pairs = pairAgreement(cells, 1);
  return agreementReading(
    valueOf(alpha),
    pairs.ok ? pairs.value.pooled : undefined,
    reml && Math.sqrt(reml.task) / (scale.max - scale.min),
  );
};

/**
 * What the ratings say about the reviewers and the panel's size: each one's habit and what their absence would
 * change, correlations on every cell, and how many reviewers a dependable result takes. For the moderator.
 */
export const insight = (question: InsightQuestion): InsightSlice => {
  const { table } = question;
  const habits = severity(table.cells);
  const reml = componentsByReml(table.cells);
  const study = reml && dependability(reml, table.reviewers.length);
  const icc = reml ? iccByComponents(table.cells, reml) : noFigure('no residual variation');
  const ac2 = gwet(table.cells, scalePoints(table.scale), 'quadratic');
  const why = reml ? 'the tasks do not differ' : 'too few ratings, or no residual';
  return {
    reviewers: reviewersOf(question, habits),
    agreementSingle: icc.ok ? { value: icc.value.agreementSingle } : { why: icc.why },
    agreementAverage: icc.ok ? { value: icc.value.agreementAverage } : { why: icc.why },
    ac2: ac2.ok ? { value: ac2.value.estimate } : { why: ac2.why },
    phi: orWhy(study?.phi, why),
    reviewersNeeded: orWhy(reml && reviewersForPhi(reml, WANTED_PHI), why),
    reading: readingOf(table, reml),
    carriedByHabit: carriedByHabit(question, habits),
  };
};
