import {
  protocolTasks,
  type DoubtSlice,
  type EvaluationView,
  type HeadSlice,
  type InsightSlice,
  type LateSlice,
  type LockSlice,
  type Protocol,
  type RemarkSlice,
} from '@unhindered/shared-types';
import { orderQueue } from '../../consensus/divergence.ts';
import { recordState } from '../catalogue-entry.ts';
import { figureText } from '../figure-text.ts';
import { settledComposite } from '../figures.ts';
import { fitSlice } from '../fit.ts';
import { safetySlice } from '../safety.ts';
import { insightQuestion, type InsightQuestion } from '../insight.ts';
import { lockConditions } from '../lock-conditions.ts';
import { taskEvidence, trialsOf } from '../evidence.ts';
import { allStandings, type TaskStanding } from '../standing.ts';
import { currentRound, type EvaluationState } from '../state.ts';
import { mediaSlices } from './media.ts';
import { seesEvidence, seesRatings, seesTrials, type Audience } from '../visibility.ts';
import { agreementSlice } from './agreement.ts';
import { endorsementSlice } from './endorsements.ts';
import { allFinished, seatSlices, type People } from './seats.ts';
import { taskSlice } from './task.ts';

/** What a view needs beside the state. */
export interface Surroundings {
  protocol: Protocol;
  panelTitle: string;
  /** SHA-256 of the protocol's session caution. */
  briefing: string;
  people: People;
  /** Newest checkpoint of the log: root in hexadecimal and size. */
  checkpoint: { root: string; size: number };
  /** What the ratings say about the reviewers; null while it is being computed. */
  insight: (question: InsightQuestion) => InsightSlice | null;
  /** Devices that do not believe the log. */
  doubts: readonly DoubtSlice[];
  /** How many wait to be let in to the panel. */
  arrivals: number;
}

/** A flat set of slices: `tasks/<id>` for each opened task, the other keys of a view by name. */
export type Slices = Record<string, unknown>;

const headSlice = (
  state: EvaluationState,
  { protocol, panelTitle }: Surroundings,
  audience: Audience,
): HeadSlice => {
  const created = state.created;
  if (!created) throw new Error('an evaluation has no head before it is created');
  const round = currentRound(state);
  const behind = audience === 'catching-up';
  return {
    evaluation: created.evaluation,
    panel: created.panel,
    panelTitle,
    title: created.title,
    specimen: created.specimen,
    registered: created.registered ?? null,
    protocol: { ...created.protocol, title: protocol.title },
    // For someone who rates after the opening the round is still sealed.
    stage: behind ? 'sealed' : state.stage,
    round: round
      ? {
          number: round.number,
          tasks: [...round.tasks],
          startedAt: round.startedAt,
          openedAt: behind ? null : round.openedAt,
        }
      : null,
    paper: state.paper && {
      file: state.paper.file,
      sha256: state.paper.sha256,
      at: state.paper.at,
      by: state.paper.by,
    },
    present: state.present,
    withdrawnBecause: state.withdrawnBecause,
    record: state.locked ? recordState(state) : null,
  };
};

const remarkSlices = (state: EvaluationState): RemarkSlice[] => {
  const replaced = new Map(
    state.remarks.flatMap((r) => (r.replaces === null ? [] : [[r.replaces, r.key]])),
  );
  return state.remarks.map(({ key, seat, task, text, at }) => ({
    key,
    seat,
    task,
    text,
    at,
    replacedBy: replaced.get(key) ?? null,
  }));
};

const lateSlices = (state: EvaluationState): LateSlice[] =>
  [...state.late.values()].map((l) => ({
    late: l.late,
    seat: l.seat,
    round: l.round,
    task: l.task,
    rating: l.rating,
    recorded: l.recorded,
    offeredAt: l.offeredAt,
    decision: l.decision,
  }));

const lockSlice = (
  state: EvaluationState,
  around: Surroundings,
  standings: readonly TaskStanding[],
): LockSlice => {
  const { locked } = state;
  const now = settledComposite(state, around.protocol, standings);
  return {
    conditions: lockConditions(state, around.protocol, standings),
    locked: locked && {
      at: locked.at,
      by: locked.signedBy,
      meaning: locked.meaning,
      result: locked.result,
      root: around.checkpoint.root,
      size: around.checkpoint.size,
    },
    preview:
      standings.length > 0
        ? { composite: figureText(now.value), provisional: now.provisional }
        : null,
  };
};

const queueOf = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[],
): string[] => {
  const weights = new Map(protocolTasks(protocol).map((t) => [t.id, t.weight]));
  return orderQueue(
    standings
      .filter((t) => !state.settled.has(t.task) || t.gateOwed)
      .map((t) => ({ task: t.task, flags: t.flags, weight: weights.get(t.task) ?? 0 })),
  );
};

type Keyed = Omit<EvaluationView, 'tasks' | 'trials' | 'evidence' | 'me'>;

/** `trials/<task>` and `evidence/<task>` for each task that has a trial, as far as the audience may see them. */
const benchSlices = (state: EvaluationState, protocol: Protocol, audience: Audience): Slices => {
  const slices: Slices = {};
  if (!seesEvidence(state, audience, protocol)) return slices;
  for (const task of new Set([...state.trials.values()].map((t) => t.entry.task))) {
    if (seesTrials(state, audience, protocol))
      slices[`trials/${task}`] = trialsOf(state.trials, task);
    slices[`evidence/${task}`] = taskEvidence(state.trials, protocol, task);
  }
  return slices;
};

/**
 * Everything an audience sees, but for `me`. Before an opening there is nothing of anybody's ratings in it.
 * SE-11: what the ratings say about the reviewers is for the moderator alone.
 */
export const sharedSlices = (
  state: EvaluationState,
  around: Surroundings,
  audience: Audience,
): Slices => {
  const { protocol } = around;
  const standings = seesRatings(audience) ? allStandings(state, protocol) : [];
  const opened = standings.length > 0;
  const view: Keyed = {
    head: headSlice(state, around, audience),
    seats: seatSlices(state, audience, around.people),
    allFinished: allFinished(state),
    media: mediaSlices(state, audience, protocol),
    queue: queueOf(state, protocol, standings),
    agreement: opened ? agreementSlice(state, protocol, standings) : null,
    insight:
      opened && audience === 'moderator'
        ? around.insight(insightQuestion(state, protocol, standings))
        : null,
    doubts: audience === 'moderator' ? [...around.doubts] : [],
    arrivals: audience === 'moderator' ? around.arrivals : 0,
    remarks: seesRatings(audience) ? remarkSlices(state) : [],
    late: seesRatings(audience) ? lateSlices(state) : [],
    lock: lockSlice(state, around, standings),
    fit: fitSlice(state),
    safety: safetySlice(state, around.briefing, seesEvidence(state, audience, protocol)),
    endorsements: endorsementSlice(state),
  };
  const slices: Slices = { ...view, ...benchSlices(state, protocol, audience) };
  for (const standing of standings) {
    slices[`tasks/${standing.task}`] = taskSlice(state, protocol, standing);
  }
  return slices;
};
