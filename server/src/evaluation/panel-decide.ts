import {
  done,
  refused,
  type Envelope,
  type EvaluationEvent,
  type Outcome,
  type PanelCommand,
  type PanelEvent,
  type Protocol,
  type SpecimenPhotoCommand,
} from '@unhindered/shared-types';
import { decideArrival } from './arrivals.ts';
import { excludedTasks } from './interest.ts';
import { decideSafety, isSafetyCommand, safetySoFar } from './panel-safety.ts';
import { nextLetter, type PanelState } from './panel-state.ts';
import { PANEL_RIGHTS } from './rights.ts';
import { currentRound, type EvaluationState } from './state.ts';

/** Commands that change the panel itself, and nothing but it and what is mirrored from it. */
type SimplePanelCommand = Exclude<
  PanelCommand,
  {
    type:
      | 'create-evaluation'
      | 'register-specimen'
      | 'correct-specimen'
      | 'retire-specimen'
      | SpecimenPhotoCommand['type'];
  }
>;

/** Who may try a panel command; a refusal, or nothing. */
export const panelRefusal = (
  state: PanelState,
  type: PanelCommand['type'],
  actor: string,
): ReturnType<typeof refused> | undefined => {
  const seat = state.seats.get(actor);
  if (seat?.state !== 'taken') return refused('not-seated', 'You have no seat in this panel.');
  return PANEL_RIGHTS[type].includes(seat.role)
    ? undefined
    : refused('role-may-not', `A ${seat.role} may not do this.`, { role: seat.role });
};

/** Moderators who hold a seat. EV-8: the last one cannot be sent away; hand over by inviting another first. */
const moderators = (state: PanelState): number =>
  [...state.seats.values()].filter((s) => s.role === 'moderator' && s.state === 'taken').length;

/** What a panel command needs beside the state. */
export interface PanelContext {
  actor: string;
  newSeat: string;
  /** A fresh public link, for `publish-link`. */
  link: { id: string; secretHash: string };
  /** Whether the evaluation that a command names is locked. */
  locked: boolean;
  /** SHA-256 of the session caution of each protocol that an evaluation of the panel is under. */
  briefings: readonly string[];
}

/** PU-1: only a locked evaluation of the panel gets a public link; ending a link is for good. */
const decideLink = (
  state: PanelState,
  command: Extract<SimplePanelCommand, { type: 'publish-link' | 'end-link' }>,
  context: PanelContext,
): Outcome<PanelEvent[]> => {
  if (command.type === 'end-link') {
    const { link } = command;
    return state.links.get(link)?.ended === false
      ? done([{ type: 'link-ended', data: { link } }])
      : refused('unknown-thing', 'There is no such link, or it has ended.');
  }
  const { evaluation, what, names } = command;
  if (!state.evaluations.some((e) => e.evaluation === evaluation)) {
    return refused('unknown-thing', 'This panel has no such evaluation.');
  }
  if (!context.locked) return refused('not-locked', 'There is a record once it is locked.');
  const { id: link, secretHash } = context.link;
  return done([{ type: 'link-published', data: { link, evaluation, what, names, secretHash } }]);
};

/** The events of a command on the panel itself. Secrets and codes are the caller's business, not the log's. */
export const decidePanel = (
  state: PanelState,
  command: SimplePanelCommand,
  context: PanelContext,
): Outcome<PanelEvent[]> => {
  const barred = panelRefusal(state, command.type, context.actor);
  if (barred) return barred;
  if (isSafetyCommand(command)) return decideSafety(state.safety, command, context);
  const target = 'seat' in command && command.seat !== null ? state.seats.get(command.seat) : null;
  if (target === undefined) return refused('unknown-thing', 'This panel has no such seat.');
  // PA-4: nobody sits on a seat from paper: no device is let in there, and what it rated stands.
  if (target?.paper != null && command.type !== 'erase-name') {
    return refused('unknown-thing', 'That seat holds ratings from paper; nobody can sit there.');
  }
  switch (command.type) {
    case 'invite': {
      if (target?.state === 'revoked') {
        return refused('unknown-thing', 'That seat was revoked. Invite to a new one.');
      }
      if (target?.state === 'waiting') {
        return refused(
          'unknown-thing',
          'Somebody waits for that seat. Admit or refuse them first.',
        );
      }
      if (target) return done([]);
      const { role, label } = command;
      const letter = role === 'reviewer' ? nextLetter(state) : null;
      return done([{ type: 'seat-offered', data: { seat: context.newSeat, role, letter, label } }]);
    }
    case 'admit-arrival':
    case 'refuse-arrival':
      return decideArrival(state, command);
    case 'reopen-codes':
      return done([{ type: 'codes-reopened', data: {} }]);
    case 'cancel-invitation':
      if (target?.state !== 'offered') {
        return refused('unknown-thing', 'That seat is not on offer any more.');
      }
      return done([{ type: 'offer-cancelled', data: { seat: command.seat } }]);
    case 'revoke-seat': {
      if (target?.state !== 'taken') return refused('unknown-thing', 'Nobody holds that seat.');
      if (target.role === 'moderator' && moderators(state) < 2) {
        const remedy = 'Invite another moderator first.';
        return refused('nobody-seated', `A panel needs a moderator. ${remedy}`);
      }
      const { seat, reason } = command;
      return done([{ type: 'seat-revoked', data: { seat, reason } }]);
    }
    case 'declare-interest':
      return done([
        {
          type: 'interest-declared',
          data: { seat: context.actor, declaration: command.declaration },
        },
      ]);
    case 'erase-name':
      if (!target || target.nameHash === null || target.erased) {
        return refused('unknown-thing', 'There is no name to erase.');
      }
      return done([{ type: 'name-erased', data: { seat: command.seat } }]);
    case 'publish-link':
    case 'end-link':
      return decideLink(state, command, context);
    case 'add-device':
    case 'move-device':
      return done([]);
  }
};

/** What mirroring into one evaluation needs: its protocol, SHA-256 of that one's session caution, a fresh document id. */
export interface MirrorContext {
  protocol: Protocol;
  briefing: string;
  newDocument: string;
}

/**
 * EV-6: what happens on the panel stands in the log of each of its evaluations too, so that a bundle is whole
 * by itself: seats, revocations, declarations with the tasks they take out, and the sheet of a reviewer who
 * takes a seat while a round runs. A locked or withdrawn evaluation takes nothing more.
 */
export const mirrorToEvaluation = (
  event: PanelEvent,
  state: EvaluationState,
  { protocol, newDocument, briefing }: MirrorContext,
): EvaluationEvent[] => {
  if (state.stage === 'locked' || state.stage === 'withdrawn') return [];
  switch (event.type) {
    case 'seat-taken': {
      const round = currentRound(state);
      const { seat, role } = event.data;
      // PA-1: beside ratings from paper nobody gets a sheet.
      const sealed = round !== undefined && state.paper === null;
      if (role !== 'reviewer' || !sealed || state.stage === 'preparing') return [event];
      const data = { round: round.number, seat, document: newDocument };
      return [event, { type: 'sheet-added', data }];
    }
    case 'seat-revoked':
    case 'everyone-stopped':
    case 'everyone-resumed':
    case 'consent-recorded':
    case 'consent-withdrawn':
      return [event];
    case 'briefing-acknowledged':
      return event.data.text === briefing ? [event] : [];
    case 'interest-declared': {
      const { seat, declaration } = event.data;
      const excluded = excludedTasks(declaration, protocol);
      return [{ type: 'interest-declared', data: { seat, declaration, excluded } }];
    }
    case 'panel-created':
    case 'seat-offered':
    case 'offer-cancelled':
    case 'paper-seat-made':
    case 'seat-asked':
    case 'device-asked':
    case 'arrival-admitted':
    case 'arrival-refused':
    case 'codes-reopened':
    case 'device-added':
    case 'device-moved':
    case 'name-erased':
    case 'evaluation-added':
    case 'link-published':
    case 'link-ended':
      return [];
  }
};

/** The first events of a new evaluation: its making, every seat taken so far and what it declared, the day so far. */
export const openingEvents = (
  panel: PanelState,
  created: Extract<EvaluationEvent, { type: 'evaluation-created' }>['data'],
  { protocol, briefing }: Pick<MirrorContext, 'protocol' | 'briefing'>,
): EvaluationEvent[] => {
  const events: EvaluationEvent[] = [{ type: 'evaluation-created', data: created }];
  for (const s of panel.seats.values()) {
    if (s.state !== 'taken' || s.nameHash === null || s.paper !== null) continue;
    const { seat, role, letter, nameHash, declaration } = s;
    events.push({ type: 'seat-taken', data: { seat, role, letter, nameHash } });
    if (!declaration) continue;
    const excluded = excludedTasks(declaration, protocol);
    events.push({ type: 'interest-declared', data: { seat, declaration, excluded } });
  }
  return [...events, ...safetySoFar(panel.safety, briefing)];
};

/** Envelope fields that a fold needs beside the event. */
export type PanelStamped = PanelEvent & Pick<Envelope, 'at'>;
