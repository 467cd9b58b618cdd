import type { LockCondition, Protocol } from '@unhindered/shared-types';
import { silentReviewers } from './endorsement.ts';
import { ratingTable } from './rating-table.ts';
import { allStandings, type TaskStanding } from './standing.ts';
import { activeSeats, type EvaluationState } from './state.ts';

/** With fewer than three, each reviewer can infer what the other rated. */
export const MIN_REVIEWERS = 3;

const condition = (
  id: LockCondition['id'],
  tasks: readonly string[] | number,
  caveat = false,
): LockCondition =>
  typeof tasks === 'number'
    ? { id, count: tasks, first: null, caveat }
    : { id, count: tasks.length, first: tasks[0] ?? null, caveat };

/** LK-1: what stands between an evaluation and its lock. Every count is zero, caveats aside, or it stays open. */
export const lockConditions = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[] = allStandings(state, protocol),
): LockCondition[] => {
  const open = standings.filter((t) => !state.settled.has(t.task));
  const ids = (list: readonly TaskStanding[]): string[] => list.map((t) => t.task);
  const undecided = [...state.late.values()].filter((l) => l.decision === null);
  const counted = ratingTable(state, protocol, standings, false).reviewers;
  const undeclared = activeSeats(state, 'moderator').filter((s) => s.declaration === null);
  return [
    condition('round-opened', state.stage === 'opened' || state.stage === 'locked' ? 0 : 1),
    condition('declarations', undeclared.length),
    condition('gates', ids(standings.filter((t) => t.gateOwed))),
    condition(
      'late',
      undecided.map((l) => l.task),
    ),
    condition('divergent', ids(open.filter((t) => t.flags.length > 0))),
    condition('unsettled', ids(open.filter((t) => t.flags.length === 0 && t.values.length > 0))),
    condition('reviewers', Math.max(0, MIN_REVIEWERS - counted.length), true),
    // Where statements weigh, silence is named; nobody has to say anything.
    ...((protocol.endorsement?.weight ?? 0) > 0
      ? [condition('endorsements', silentReviewers(state, counted), true)]
      : []),
  ];
};
