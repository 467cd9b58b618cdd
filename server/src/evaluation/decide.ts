import {
  refused,
  type EvaluationCommand,
  type EvaluationCommandType,
  type EvaluationEvent,
  type Outcome,
  type RejectionCode,
} from '@unhindered/shared-types';
import { afterLockHandlers } from './decide/after-lock.ts';
import { fitHandlers } from './decide/fit.ts';
import { lateHandlers } from './decide/late.ts';
import { lockHandlers } from './decide/lock.ts';
import { mediaHandlers } from './decide/media.ts';
import { paperHandlers } from './decide/paper.ts';
import { roundHandlers } from './decide/rounds.ts';
import { safetyHandlers } from './decide/safety.ts';
import { settleHandlers } from './decide/settle.ts';
import type { DecideContext, Handlers } from './decide/context.ts';
import { PHASE_TABLE } from './phase-table.ts';
import { EVALUATION_RIGHTS } from './rights.ts';
import { standingStop } from './safety-state.ts';
import type { EvaluationState } from './state.ts';

export type { DecideContext, KeptMedia, OpenedSheet, PaperFile } from './decide/context.ts';

const handlers: Handlers = {
  ...roundHandlers,
  ...fitHandlers,
  ...lateHandlers,
  ...settleHandlers,
  ...lockHandlers,
  ...afterLockHandlers,
  ...mediaHandlers,
  ...safetyHandlers,
  ...paperHandlers,
};

/** Words for a command that comes at the wrong time. */
const WRONG_STAGE: Partial<Record<RejectionCode, string>> = {
  'not-started': 'The first round has not been started yet.',
  'already-started': 'The first round was started already.',
  'round-sealed': 'A round is sealed. Open it first.',
  'round-opened': 'The round is open already.',
  locked: 'This evaluation is locked. Nothing in it can change; a re-evaluation can.',
  'not-locked': 'Lock the evaluation first.',
  withdrawn: 'This evaluation was withdrawn. Nothing in it can change.',
};

/** SD-2: no round opens while everyone has stopped. */
const stoppedRefusal = ({ safety }: EvaluationState): ReturnType<typeof refused> | undefined =>
  standingStop(safety) &&
  refused(
    'everyone-stopped',
    'Everyone has stopped. A moderator lets the day go on first, with a word what was done.',
  );

/** Why a seat may not even try a command at this stage; undefined when it may. Reads no sheet. */
export const evaluationRefusal = (
  state: EvaluationState,
  type: EvaluationCommandType,
  actor: string,
): ReturnType<typeof refused> | undefined => {
  const seat = state.seats.get(actor);
  if (!seat || seat.revoked) {
    return refused('not-seated', 'You have no seat in this evaluation.');
  }
  if (!EVALUATION_RIGHTS[type].includes(seat.role)) {
    return refused('role-may-not', `A ${seat.role} may not do this.`, { role: seat.role });
  }
  const cell = PHASE_TABLE[state.stage][type];
  if (cell !== 'go') return refused(cell, WRONG_STAGE[cell] ?? 'Not at this stage.');
  return type === 'open-round' ? stoppedRefusal(state) : undefined;
};

/**
 * What a command does to an evaluation: the events to append, or an expected refusal. Pure: time, ids, sheets
 * and digests come in with the context. Checks who, then when, then what.
 */
export const decide = (
  state: EvaluationState,
  command: EvaluationCommand,
  context: DecideContext,
): Outcome<EvaluationEvent[]> => {
  const barred = evaluationRefusal(state, command.type, context.actor);
  if (barred) return barred;
  const handle = handlers[command.type] as (
    state: EvaluationState,
    command: EvaluationCommand,
    context: DecideContext,
  ) => Outcome<EvaluationEvent[]>;
  return handle(state, command, context);
};
