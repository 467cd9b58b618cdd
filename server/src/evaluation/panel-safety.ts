import {
  done,
  refused,
  type Outcome,
  type PanelEvent,
  type SafetyCommand,
  type SafetyEvent,
} from '@unhindered/shared-types';
import type { PanelCommand } from '@unhindered/shared-types';
import { standingStop, type SafetyState } from './safety-state.ts';

/** What a command on the day needs beside the state. */
export interface SafetyContext {
  /** The seat that asks. */
  actor: string;
  /** SHA-256 of the session caution of each protocol that an evaluation of the panel is under. */
  briefings: readonly string[];
}

const TYPES: readonly string[] = [
  'stop-everyone',
  'resume-everyone',
  'acknowledge-briefing',
  'record-consent',
  'withdraw-consent',
] satisfies SafetyCommand['type'][];

export const isSafetyCommand = (command: PanelCommand): command is SafetyCommand =>
  TYPES.includes(command.type);

/** SD-5: who has left does not come back under the same code: what they did before stays theirs and marked. */
const decideConsent = (
  state: SafetyState,
  command: Extract<SafetyCommand, { type: 'record-consent' | 'withdraw-consent' }>,
  seat: string,
): Outcome<SafetyEvent[]> => {
  const { model, type } = command;
  const known = state.models.get(model);
  if (type === 'record-consent') {
    if (!known) return done([{ type: 'consent-recorded', data: { seat, model } }]);
    if (!known.withdrawn) return done([]);
    const remedy = 'When that person agrees again, record it under a new code.';
    return refused('already-decided', `${model} has left. ${remedy}`);
  }
  if (!known) {
    return refused('unknown-thing', `There is no consent of ${model} on record. Check the code.`);
  }
  return done(known.withdrawn ? [] : [{ type: 'consent-withdrawn', data: { seat, model } }]);
};

/**
 * SD-1: one press stops everyone. A second call while all stand still is kept when it says why; SD-2: only a moderator
 * lets the day go on (rights.ts), with a word what was done. SD-3: a briefing is acknowledged by the hash of the very
 * text that was read: another text is not acknowledged with it.
 */
export const decideSafety = (
  state: SafetyState,
  command: SafetyCommand,
  { actor: seat, briefings }: SafetyContext,
): Outcome<PanelEvent[]> => {
  const standing = standingStop(state);
  switch (command.type) {
    case 'stop-everyone': {
      const { reason } = command;
      if (standing && reason === null) return done([]);
      return done([{ type: 'everyone-stopped', data: { seat, reason } }]);
    }
    case 'resume-everyone': {
      if (!standing) return refused('nothing-to-decide', 'Nobody has stopped the day.');
      const { measures } = command;
      return done([{ type: 'everyone-resumed', data: { seat, measures } }]);
    }
    case 'acknowledge-briefing': {
      const { text } = command;
      if (!briefings.includes(text)) {
        const remedy = 'Read it again and acknowledge what stands there.';
        return refused('bad-input', `This is not the briefing of this panel. ${remedy}`, {
          place: 'text',
        });
      }
      if (state.briefed.get(text)?.has(seat)) return done([]);
      return done([{ type: 'briefing-acknowledged', data: { seat, text } }]);
    }
    case 'record-consent':
    case 'withdraw-consent':
      return decideConsent(state, command, seat);
  }
};

/**
 * SD-6: what an evaluation that is made now must know of the day: the stop that holds, the models and who has left, and
 * who has acknowledged its own briefing, each with the time it happened. Stops that are over concern it no more.
 */
export const safetySoFar = (state: SafetyState, briefing: string): SafetyEvent[] => {
  const stop = standingStop(state);
  const events: SafetyEvent[] = [];
  if (stop) {
    const { seat, reason, at: since, calls } = stop;
    events.push({ type: 'everyone-stopped', data: { seat, reason, since } });
    for (const { at, ...call } of calls) {
      events.push({ type: 'everyone-stopped', data: { ...call, since: at } });
    }
  }
  for (const [seat, since] of state.briefed.get(briefing) ?? []) {
    events.push({ type: 'briefing-acknowledged', data: { seat, text: briefing, since } });
  }
  for (const [model, { consent, withdrawn }] of state.models) {
    events.push({
      type: 'consent-recorded',
      data: { seat: consent.seat, model, since: consent.at },
    });
    if (!withdrawn) continue;
    const { seat, at: since } = withdrawn;
    events.push({ type: 'consent-withdrawn', data: { seat, model, since } });
  }
  return events;
};
