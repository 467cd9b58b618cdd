import {
  protocolTasks,
  type CriterionStatus,
  type Protocol,
  type ProtocolTask,
} from '@unhindered/shared-types';
import { divergenceFlags, type Flag } from '../consensus/divergence.ts';
import { median } from '../consensus/quantile.ts';
import { criterionStatus, taskEvidence } from './evidence.ts';
import { contradictedReviewers } from './evidence-against.ts';
import { remembered } from './remembered.ts';
import { isWorst } from './sheet-ratings.ts';
import { openedTasks, type CurrentRating, type EvaluationState } from './state.ts';

/** One seat's standing rating of a task, and whether it counts in the consensus. */
export interface StandingRating extends CurrentRating {
  seat: string;
  counted: boolean;
}

/** Where one opened task stands. Counted ratings only, unless it says otherwise. */
export interface TaskStanding {
  task: string;
  ratings: StandingRating[];
  values: number[];
  median: number | undefined;
  flags: Flag[];
  /** Seats (counted or not) that propose a critical failure, and counted seats at the worst point. */
  proposed: { seat: string; reason: string }[];
  atWorst: string[];
  /** Whether the trials meet the criterion of a critical failure. */
  trials: CriterionStatus;
  /** The moderator owes a decision on a critical failure. */
  gateOwed: boolean;
}

/** Seats that rate, by letter; ratings given before a seat was revoked stay. */
const reviewers = (state: EvaluationState): string[] =>
  [...state.seats.values()].filter((s) => s.role === 'reviewer').map((s) => s.seat);

const rememberedTasks = remembered<Protocol, ReadonlyMap<string, ProtocolTask>>();

/** The tasks of a protocol by id. */
export const tasksById = (protocol: Protocol): ReadonlyMap<string, ProtocolTask> =>
  rememberedTasks(protocol, [], () => new Map(protocolTasks(protocol).map((t) => [t.id, t])));

const NO_RATINGS: ReadonlyMap<string, CurrentRating> = new Map();
const rememberedStanding = remembered<ReadonlyMap<string, CurrentRating>, TaskStanding>();

/**
 * IN-2: a rating counts unless its seat is excluded from the task by a declared interest. It is shown all the
 * same. GA-2: a proposal, a counted rating at the worst point of a task that can gate, and trials that meet its
 * criterion each open a decision that the moderator owes. GA-4: a rejection from before the trials met it is owed anew.
 */
export const taskStanding = (
  state: EvaluationState,
  protocol: Protocol,
  task: string,
): TaskStanding => {
  const given = state.ratings.get(task);
  if (!given) return standingOf(state, protocol, task, NO_RATINGS);
  // Of the trials only what a standing rests on: a trial that changes nothing here, or is of another task, judges nothing anew.
  const { valid, done, criterion } = taskEvidence(state.trials, protocol, task) ?? {};
  const trials = [valid, done, criterion?.met, criterion?.judged];
  const parts = [task, state.seats, state.gates.get(task), protocol, ...trials];
  return rememberedStanding(given, parts, () => standingOf(state, protocol, task, given));
};

const standingOf = (
  state: EvaluationState,
  protocol: Protocol,
  task: string,
  given: ReadonlyMap<string, CurrentRating>,
): TaskStanding => {
  const ratings = reviewers(state).flatMap((seat) => {
    const current = given.get(seat);
    const excluded = state.seats.get(seat)?.excluded.includes(task) ?? false;
    return current ? [{ ...current, seat, counted: !excluded }] : [];
  });
  const counted = ratings.filter((r) => r.counted);
  const steps = counted.flatMap(({ seat, rating }) =>
    rating.step === null ? [] : [{ reviewer: seat, value: rating.step }],
  );
  const canGate = tasksById(protocol).get(task)?.critical !== null;
  const proposed = ratings.flatMap(({ seat, rating }) =>
    rating.critical === null ? [] : [{ seat, reason: rating.critical }],
  );
  const atWorst = canGate
    ? steps.filter((s) => isWorst(s.value, protocol)).map((s) => s.reviewer)
    : [];
  const notApplicable = counted
    .filter((r) => r.rating.answer === 'not-applicable')
    .map((r) => r.seat);
  const critical = counted.filter((r) => r.rating.critical !== null).map((r) => r.seat);
  const evidence = taskEvidence(state.trials, protocol, task);
  const trials = criterionStatus(evidence);
  const contradicted = contradictedReviewers(steps, evidence, protocol);
  const decision = state.gates.get(task);
  const overtaken = decision?.confirmed === false && !decision.backedByTrials && trials === 'met';
  const triggered = proposed.length > 0 || atWorst.length > 0 || trials === 'met';
  return {
    task,
    ratings,
    values: steps.map((s) => s.value),
    median: median(steps.map((s) => s.value)),
    flags: divergenceFlags({ steps, notApplicable, critical, contradicted }, protocol.divergence),
    proposed,
    atWorst,
    trials,
    gateOwed: triggered && (!decision || overtaken),
  };
};

const rememberedStandings = remembered<EvaluationState['ratings'], readonly TaskStanding[]>();

/** Every opened task in protocol order. The same list as long as nothing in it changed. */
export const allStandings = (state: EvaluationState, protocol: Protocol): readonly TaskStanding[] =>
  rememberedStandings(
    state.ratings,
    [state.seats, state.gates, state.rounds, state.trials, protocol],
    () => {
      const opened = openedTasks(state);
      return protocolTasks(protocol)
        .filter((t) => opened.has(t.id))
        .map((t) => taskStanding(state, protocol, t.id));
    },
  );

/**
 * SE-7: while a later round is sealed its tasks show the ratings of the earlier rounds, which everybody has
 * seen; the new ones are not in the state.
 */
export const wasNotReRated = (state: EvaluationState, task: string, round: number): boolean =>
  state.rounds.some((r) => r.number > round && r.openedAt !== null && r.tasks.includes(task));
