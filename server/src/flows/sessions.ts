import type { MeAnswer } from '@unhindered/shared-types';
import { standingStop } from '../evaluation/safety-state.ts';
import type { Session } from '../ports/store.ts';
import { nowText, whyReadOnly, type App, type Identity } from './app.ts';
import { secretHash } from './secrets.ts';

/** A session ends after twelve hours without use, and a day after it began at the latest. */
const IDLE_MS = 12 * 3600_000;
const ABSOLUTE_MS = 24 * 3600_000;
/** Use is noted at most that often. */
const TOUCH_MS = 10 * 60_000;

/** Sessions are aged in steady time: see AC-18. */
const steadyText = (app: App): string => new Date(app.clock.steady()).toISOString();

/** A new session with its token, which goes into the cookie and is not kept. */
export const newSession = (
  app: App,
  whose: { seat: string | null; panel: string | null },
  arrival: Session['arrival'] = 'admitted',
): { token: string; session: Session } => {
  const token = app.ids.secret(32);
  const at = steadyText(app);
  const session = {
    id: secretHash(token),
    ...whose,
    device: app.ids.id('dv'),
    startedAt: at,
    seenAt: at,
    arrival,
  };
  return { token, session };
};

/** AC-1: the session of a token, while it is good. Read from the store each time: revoking works at once. */
export const sessionOf = async (
  app: App,
  token: string | undefined,
): Promise<Session | undefined> => {
  if (token === undefined || token.length > 100) return undefined;
  const session = await app.store.session(secretHash(token));
  if (!session) return undefined;
  const now = app.clock.steady();
  const seen = now - Date.parse(session.seenAt);
  if (seen > IDLE_MS || now - Date.parse(session.startedAt) > ABSOLUTE_MS) return undefined;
  if (seen > TOUCH_MS && whyReadOnly(app) === null) {
    await app.store.commit({ seen: [{ session: session.id, at: steadyText(app) }] });
  }
  return session;
};

/** Forgets sessions and invitations that are over by the clock. Returns those of `used` that are no more. */
export const endOldSessions = async (app: App, used: readonly string[]): Promise<string[]> => {
  if (whyReadOnly(app) === null) {
    const before = (ms: number): string => new Date(app.clock.steady() - ms).toISOString();
    const startedBefore = before(ABSOLUTE_MS);
    await app.store.commit({
      forget: { startedBefore, seenBefore: before(IDLE_MS), expiredBefore: nowText(app) },
    });
  }
  const known = await Promise.all(
    [...new Set(used)].map(async (id) => ({ id, session: await app.store.session(id) })),
  );
  return known.filter((k) => k.session === undefined).map((k) => k.id);
};

/**
 * The seat a session has in a panel: its own, or for the lead the one taken when the panel was made. AC-16: a session
 * that was not let in has none anywhere: every way into a panel asks here.
 */
export const identityIn = async (
  app: App,
  session: Session,
  panel: string,
): Promise<Identity | undefined> => {
  if (session.arrival !== 'admitted') return undefined;
  if (session.panel !== null && session.panel !== panel) return undefined;
  const people = await app.store.people(panel);
  for (const person of people) app.names.set(person.seat, person);
  const seat = session.seat ?? people.find((p) => p.lead)?.seat;
  if (seat === undefined) return undefined;
  return { session: session.id, device: session.device, seat, panel };
};

/** The seats a session has, newest panel first; the lead has one in each panel they made. */
export const seatsOf = async (app: App, session: Session): Promise<MeAnswer['seats']> => {
  const ids =
    session.panel === null
      ? (await app.store.logs()).map((l) => l.log).filter((log) => log.startsWith('pn_'))
      : [session.panel];
  const found: { createdAt: string; seat: MeAnswer['seats'][number] }[] = [];
  for (const id of ids) {
    const panel = await app.logs.panelNow(id);
    const identity = panel && (await identityIn(app, session, id));
    const seat = panel?.state.seats.get(identity?.seat ?? '');
    if (!panel || seat?.state !== 'taken') continue;
    const { title: panelTitle, createdAt } = panel.state;
    const { role, letter } = seat;
    found.push({ createdAt, seat: { seat: seat.seat, panel: id, panelTitle, role, letter } });
  }
  return found.toSorted((a, b) => b.createdAt.localeCompare(a.createdAt)).map((f) => f.seat);
};

/**
 * What a session that was not let in may know: what it asked for, whether it still waits, and, since it may stand in
 * the room, that everyone has stopped (SD-10); who stopped them and why is for the panel.
 */
export const arrivalOf = async (app: App, session: Session): Promise<MeAnswer['arrival']> => {
  const { arrival: state, panel: id, seat: seatId } = session;
  if (state === 'admitted' || id === null) return null;
  const panel = await app.logs.panelNow(id);
  const seat = panel?.state.seats.get(seatId ?? '');
  if (!panel || !seat) return null;
  const { role, letter } = seat;
  const { title: panelTitle, safety } = panel.state;
  const stoppedAt = standingStop(safety)?.at ?? null;
  return { state, panel: id, panelTitle, role, letter, stoppedAt };
};

/** Ends one session: its sockets are closed, the next use is refused. */
export const signOut = async (app: App, session: Session): Promise<void> => {
  await app.store.commit({ endSessions: [session.id] });
  app.ended([session.id], 'signed-out');
};
