import type { AgreementSlice, Protocol, Shown } from '@unhindered/shared-types';
import type { Figure } from '../../consensus/figure.ts';
import { krippendorffAlpha } from '../../consensus/krippendorff-alpha.ts';
import { pairAgreement } from '../../consensus/pair-agreement.ts';
import { present } from '../../consensus/table.ts';
import { ratingTable } from '../figures.ts';
import { MIN_REVIEWERS } from '../lock-conditions.ts';
import { remembered } from '../remembered.ts';
import type { TaskStanding } from '../standing.ts';
import type { EvaluationState } from '../state.ts';

const shownFigure = (f: Figure): Shown => (f.ok ? { value: f.value } : { why: f.why });

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
  const share = (tolerance: number): Shown => {
    const f = pairAgreement(table.cells, tolerance);
    return f.ok ? { value: f.value.pooled } : { why: f.why };
  };
  return {
    round: state.rounds.filter((r) => r.openedAt !== null).length,
    reviewers: table.reviewers.length,
    tasks: table.tasks.length,
    absent: table.cells.reduce((n, row) => n + row.length - present(row).length, 0),
    alphaOrdinal: shownFigure(krippendorffAlpha(table.cells, 'ordinal')),
    withinOne: share(1),
    exact: share(0),
    fewReviewers: table.reviewers.length < MIN_REVIEWERS,
  };
};
