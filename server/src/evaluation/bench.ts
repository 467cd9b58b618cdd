import {
  authorOfKey,
  trialFault,
  type BoardEntry,
  type Protocol,
  type Role,
  type TrialEntry,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import { seriesQuestion } from '../measures/series-question.ts';
import type { EvaluationState } from './state.ts';
import { mayTalkAbout } from './visibility.ts';

/** TR-5: who works on the bench and enters trials. Recorder and operator do, and never rate (EV-3). */
export const ENTERS_TRIALS: readonly Role[] = ['moderator', 'reviewer', 'recorder', 'operator'];

/** SR-5: why the sources of a trial cannot stand, or undefined: each says how its file was read. */
const sourcesFault = ({ sources = [] }: TrialEntry): string | undefined =>
  sources.every(({ as }) => v.is(seriesQuestion, as))
    ? undefined
    : 'how the file of a series was read is not understood';

/**
 * Why a board entry of a seat cannot be taken now, or undefined. Remarks on a task wait while its round is sealed
 * (SE-4); trials are evidence, not talk, and are taken until the lock. Only its author or a moderator voids a trial.
 */
export const boardEntryFault = (
  state: EvaluationState,
  protocol: Protocol,
  author: string,
  entry: BoardEntry,
): string | undefined => {
  if (entry.kind === 'remark') {
    return mayTalkAbout(state, entry.task) ? undefined : 'the round of this task is sealed';
  }
  const role = state.seats.get(author)?.role;
  if (role === undefined || !ENTERS_TRIALS.includes(role)) return 'this role enters no trials';
  if (entry.kind === 'trial') {
    const foreign = entry.replaces !== null && authorOfKey(entry.replaces) !== author;
    return foreign
      ? 'a trial is corrected by its author'
      : (trialFault(entry, protocol) ?? sourcesFault(entry));
  }
  const may = role === 'moderator' || authorOfKey(entry.trial) === author;
  return may ? undefined : 'a trial is voided by its author or a moderator';
};
