import {
  done,
  refused,
  type LookAnswer,
  type Outcome,
  type PanelEvent,
} from '@unhindered/shared-types';
import type { Invitation, Person, Session } from '../ports/store.ts';
import { nameOf, type App } from './app.ts';
import { makeChange, type Change } from './change.ts';
import { nameFault } from './name-fault.ts';
import { mirrored } from './run-panel-command.ts';
import { codeHash, nameHash, secretHash } from './secrets.ts';
import { newSession } from './sessions.ts';

export type InvitationKey = { secret: string } | { code: string };

/** One answer for every key that does not work: unknown, used or expired are not told apart. */
const UNKNOWN = 'This code or link does not work. Ask the moderator for a new one.';

const findInvitation = async (app: App, key: InvitationKey): Promise<Invitation | undefined> => {
  const by = 'secret' in key ? { secret: secretHash(key.secret) } : { code: codeHash(key.code) };
  const invitation = await app.store.invitation(by);
  const good = invitation && Date.parse(invitation.expiresAt) > app.timers.now();
  return good ? invitation : undefined;
};

/** What an invitation leads to, without using it up: opening a link changes nothing. */
export const lookInvitation = async (
  app: App,
  key: InvitationKey,
): Promise<Outcome<LookAnswer>> => {
  const invitation = await findInvitation(app, key);
  const panel = invitation?.panel ? await app.logs.panel(invitation.panel) : undefined;
  const seat = panel?.state.seats.get(invitation?.seat ?? '');
  if (!panel || !seat || seat.state === 'revoked') return refused('code-unknown', UNKNOWN);
  for (const person of await app.store.people(panel.id)) app.names.set(person.seat, person);
  return done({
    panelTitle: panel.state.title,
    occasion: panel.state.occasion,
    role: seat.role,
    letter: seat.letter,
    label: seat.label,
    name: seat.state === 'taken' ? nameOf(app, seat.seat) : null,
  });
};

interface Taken {
  token: string;
  panel: string;
  seat: string;
  /** Sessions whose place this device takes. */
  ended: string[];
}

/** Sessions of the seat that a moving invitation ends, as they are when it is used. */
const endedBy = async (app: App, { ends }: Invitation, seat: string): Promise<string[]> => {
  if (ends === null) return [];
  const sessions = await app.store.sessionsOf(seat);
  return sessions.map((s) => s.id).filter((id) => ends === 'all' || ends === id);
};

const takeChange = async (
  app: App,
  invitation: Invitation,
  seatId: string,
  panelId: string,
  name: string,
): Promise<Outcome<Change<Taken>>> => {
  const panel = await app.logs.panel(panelId);
  const seat = panel?.state.seats.get(seatId);
  if (!panel || !seat || seat.state === 'revoked') return refused('code-unknown', UNKNOWN);
  const { token, session } = newSession(app, { seat: seatId, panel: panelId });
  const ended = await endedBy(app, invitation, seatId);
  const rows = {
    sessions: [session],
    endSessions: ended,
    ...(invitation.once ? { endInvitations: [invitation.id] } : {}),
  };
  const value: Taken = { token, panel: panelId, seat: seatId, ended };
  if (seat.state === 'taken') {
    const type = invitation.ends === null ? 'device-added' : 'device-moved';
    const added: PanelEvent = { type, data: { seat: seatId } };
    return done({ events: [{ log: panelId, events: [added] }], batch: rows, value });
  }
  const called = seat.role === 'wall' && name === '' ? 'Wall' : name;
  const salt = app.ids.nonce();
  const person: Person = { seat: seatId, panel: panelId, name: called, salt, lead: false };
  const { role, letter } = seat;
  const fault = role === 'wall' ? undefined : await nameFault(app, panel, called);
  if (fault) return { ok: false, rejection: fault };
  const taken: PanelEvent = {
    type: 'seat-taken',
    data: { seat: seatId, role, letter, nameHash: nameHash(salt, called) },
  };
  const elsewhere = await mirrored(app, panel, [taken]);
  app.names.set(seatId, person);
  return done({
    events: [{ log: panelId, events: [taken] }, ...elsewhere.events],
    batch: { ...rows, people: [person], documents: elsewhere.documents },
    value,
  });
};

/** Takes the seat of an invitation on this device, or adds the device to a seat that is taken. */
export const takeSeat = async (
  app: App,
  key: InvitationKey,
  name: string,
): Promise<Outcome<Taken>> => {
  const invitation = await findInvitation(app, key);
  if (!invitation?.panel || !invitation.seat) return refused('code-unknown', UNKNOWN);
  const { panel: panelId, seat } = invitation;
  const panel = await app.logs.panel(panelId);
  const role = panel?.state.seats.get(seat)?.role ?? 'nobody';
  const provenance = { clientAt: null, actor: seat, role, device: null, cmd: null };
  const logs = [panelId, ...(panel?.state.evaluations.map((e) => e.evaluation) ?? [])];
  const taken = await makeChange(app, logs, provenance, () =>
    takeChange(app, invitation, seat, panelId, name),
  );
  if (taken.ok && taken.value.ended.length > 0) app.ended(taken.value.ended, 'moved');
  return taken;
};

/** The lead's sign-in by the one-time secret. */
export const signInLead = async (
  app: App,
  secret: string,
): Promise<Outcome<{ token: string; session: Session }>> => {
  const invitation = await findInvitation(app, { secret });
  if (invitation?.kind !== 'lead') {
    const remedy = 'Start the server with --new-sign-in-link for a new one.';
    return refused('code-unknown', `This sign-in link does not work any more. ${remedy}`);
  }
  const made = newSession(app, { seat: null, panel: null });
  const committed = await app.store.commit({
    sessions: [made.session],
    endInvitations: [invitation.id],
  });
  return committed.ok ? done(made) : refused('code-unknown', 'This sign-in link was used already.');
};
