import {
  done,
  refused,
  type LookAnswer,
  type Outcome,
  type PanelEvent,
} from '@unhindered/shared-types';
import type { PanelSeatState } from '../evaluation/panel-state.ts';
import { standingStop } from '../evaluation/safety-state.ts';
import type { Batch, Invitation, Person, Session } from '../ports/store.ts';
import { nameOf, type App, type LivePanel } from './app.ts';
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

/** AC-15: who types a code waits to be let in, unless the invitation lets in at once. */
const mustWait = (key: InvitationKey, invitation: Invitation): boolean =>
  'code' in key && !invitation.open;

/** A seat that an invitation can lead to. While somebody waits for a free seat, nobody else can take it. */
const isOpen = ({ state }: PanelSeatState): boolean => state === 'offered' || state === 'taken';

/** What an invitation leads to, without using it up: opening a link changes nothing. */
export const lookInvitation = async (
  app: App,
  key: InvitationKey,
): Promise<Outcome<LookAnswer>> => {
  const invitation = await findInvitation(app, key);
  const panel = invitation?.panel ? await app.logs.panelNow(invitation.panel) : undefined;
  const seat = panel?.state.seats.get(invitation?.seat ?? '');
  if (!invitation || !panel || !seat || !isOpen(seat)) return refused('code-unknown', UNKNOWN);
  for (const person of await app.store.people(panel.id)) app.names.set(person.seat, person);
  return done({
    panelTitle: panel.state.title,
    occasion: panel.state.occasion,
    role: seat.role,
    letter: seat.letter,
    label: seat.label,
    name: seat.state === 'taken' ? nameOf(app, seat.seat) : null,
    waits: mustWait(key, invitation),
    stoppedAt: standingStop(panel.state.safety)?.at ?? null,
  });
};

interface Taken {
  token: string;
  panel: string;
  seat: string;
  /** Nothing is open to the session until a moderator lets it in. */
  waits: boolean;
  /** Sessions whose place this device takes. */
  ended: string[];
}

/** Sessions of the seat that a moving invitation ends, as they are when it is used. */
const endedBy = async (app: App, { ends }: Invitation, seat: string): Promise<string[]> => {
  if (ends === null) return [];
  const sessions = await app.store.sessionsOf(seat);
  return sessions.map((s) => s.id).filter((id) => ends === 'all' || ends === id);
};

/** Everything one use of an invitation works with. */
interface Use {
  invitation: Invitation;
  panel: LivePanel;
  seat: PanelSeatState;
  /** The new session's rows, and what the caller gets. */
  rows: Omit<Batch, 'appends' | 'checkpoints'>;
  value: Taken;
  device: string;
}

/** One more device of a taken seat: there at once, or waiting. */
const addDevice = ({ invitation, panel, seat, rows, value, device }: Use): Change<Taken> => {
  const move = invitation.ends !== null;
  const event: PanelEvent = value.waits
    ? { type: 'device-asked', data: { seat: seat.seat, device, move } }
    : { type: move ? 'device-moved' : 'device-added', data: { seat: seat.seat } };
  return { events: [{ log: panel.id, events: [event] }], batch: rows, value };
};

/** Somebody new on a free seat: seated at once, or waiting with nothing of it in the evaluations. */
const takeFree = async (app: App, use: Use, name: string): Promise<Outcome<Change<Taken>>> => {
  const { panel, rows, value, device } = use;
  const { seat, role, letter } = use.seat;
  const called = role === 'wall' && name === '' ? 'Wall' : name;
  const fault = role === 'wall' ? undefined : await nameFault(app, panel, called);
  if (fault) return { ok: false, rejection: fault };
  const salt = app.ids.nonce();
  const person: Person = { seat, panel: panel.id, name: called, salt, lead: false };
  const hash = nameHash(salt, called);
  const event: PanelEvent = value.waits
    ? { type: 'seat-asked', data: { seat, device, nameHash: hash } }
    : { type: 'seat-taken', data: { seat, role, letter, nameHash: hash } };
  const elsewhere = await mirrored(app, panel, [event]);
  app.names.set(seat, person);
  return done({
    events: [{ log: panel.id, events: [event] }, ...elsewhere.events],
    batch: { ...rows, people: [person], documents: elsewhere.documents },
    value,
  });
};

const takeChange = async (
  app: App,
  invitation: Invitation,
  key: InvitationKey,
  at: { seat: string; panel: string },
  name: string,
): Promise<Outcome<Change<Taken>>> => {
  const panel = await app.logs.panelNow(at.panel);
  const seat = panel?.state.seats.get(at.seat);
  if (!panel || !seat || !isOpen(seat)) return refused('code-unknown', UNKNOWN);
  const waits = mustWait(key, invitation);
  const { token, session } = newSession(app, at, waits ? 'waiting' : 'admitted');
  const ended = waits ? [] : await endedBy(app, invitation, seat.seat);
  const rows = {
    sessions: [session],
    endSessions: ended,
    ...(invitation.once ? { endInvitations: [invitation.id] } : {}),
  };
  const value: Taken = { token, ...at, waits, ended };
  const use = { invitation, panel, seat, rows, value, device: session.device };
  return seat.state === 'taken' ? done(addDevice(use)) : takeFree(app, use, name);
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
  const panel = await app.logs.panelNow(panelId);
  const role = panel?.state.seats.get(seat)?.role ?? 'nobody';
  const provenance = { clientAt: null, actor: seat, role, device: null, cmd: null };
  const logs = [panelId, ...(panel?.state.evaluations.map((e) => e.evaluation) ?? [])];
  const taken = await makeChange(app, logs, provenance, () =>
    takeChange(app, invitation, key, { seat, panel: panelId }, name),
  );
  if (taken.ok && taken.value.ended.length > 0) app.ended(taken.value.ended, 'moved');
  // Moderators at their desks see how many wait, though nothing of it is in the evaluations.
  if (taken.ok && taken.value.waits) for (const log of logs) app.changed(log);
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
