import type { AgreementSlice, Protocol, Shown } from '@unhindered/shared-types';
import type { Figure } from '../../consensus/figure.ts';
import type { PairAgreement } from '../../consensus/pair-agreement.ts';
import { present } from '../../consensus/table.ts';
import { MIN_REVIEWERS } from '../lock-conditions.ts';
import { ratingTable } from '../rating-table.ts';
import { remembered } from '../remembered.ts';
import type { TaskStanding } from '../standing.ts';
import type { EvaluationState } from '../state.ts';
import { tableFigures } from '../table-figures.ts';

const shownFigure = (f: Figure): Shown => (f.ok ? { value: f.value } : { why: f.why });

const share = (f: Figure<PairAgreement>): Shown =>
  f.ok ? { value: f.value.pooled } : { why: f.why };

const rememberedSlice = remembered<readonly TaskStanding[], AgreementSlice>();

/** The agreement headline over all opened tasks, counted ratings only. */
export const agreementSlice = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[],
): AgreementSlice =>
  rememberedSlice(standings, [state.seats, state.rounds, protocol], () =>
    agreementOf(state, protocol, standings),
  );

const agreementOf = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[],
): AgreementSlice => {
  const table = ratingTable(state, protocol, standings, false);
  const figures = tableFigures(table, protocol);
  return {
    round: state.rounds.filter((r) => r.openedAt !== null).length,
    reviewers: table.reviewers.length,
    tasks: table.tasks.length,
    absent: table.cells.reduce((n, row) => n + row.length - present(row).length, 0),
    alphaOrdinal: shownFigure(figures.alphaOrdinal),
    withinOne: share(figures.withinOne),
    exact: share(figures.exact),
    fewReviewers: table.reviewers.length < MIN_REVIEWERS,
  };
};
