import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { panelView } from '../../../server/src/flows/look.ts';
import { secretHash } from '../../../server/src/flows/secrets.ts';
import { arrivalOf, identityIn, seatsOf } from '../../../server/src/flows/sessions.ts';
import { lookInvitation, takeSeat } from '../../../server/src/flows/take-seat.ts';
import type { Role } from '../../../shared-types/src/index.ts';
import { accepted, resultOf, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const codeFor = async (
  p: SeatedPanel,
  role: Role,
  more: { seat?: string; move?: boolean; open?: boolean } = {},
): Promise<{ code: string; secret: string }> => {
  const ask = { type: 'invite', role, label: '', by: 'code', until: null, seat: null } as const;
  const made = resultOf(await p.onPanel(p.moderator, { ...ask, ...more }));
  if (made.kind !== 'invitation') throw new Error('no invitation');
  return { code: made.code ?? '', secret: made.secret };
};

/** A panel, and one more person who typed a code. */
const withArrival = async (more: { open?: boolean } = {}, store = new MemoryStore()) => {
  const { app, ended, changed } = testApp(store);
  const p = await seatedPanel(app, 1);
  const { code } = await codeFor(p, 'reviewer', more);
  const taken = await takeSeat(app, { code }, 'Noor (invented)');
  if (!taken.ok) throw new Error(taken.rejection.message);
  const { token, seat, waits } = taken.value;
  const session = async () => {
    const found = await app.store.session(secretHash(token));
    if (!found) throw new Error('no session');
    return found;
  };
  const device = (await session()).device;
  const view = async (who = p.moderator) => {
    const panel = await app.logs.panel(p.panel);
    const seen = panel && (await panelView(app, panel, who, () => false));
    if (!seen) throw new Error('no view');
    return seen;
  };
  const decide = (type: 'admit-arrival' | 'refuse-arrival', who = p.moderator) =>
    p.onPanel(who, { type, seat, device });
  return { app, store, p, seat, device, waits, session, view, decide, ended, changed };
};

const typesOf = async (store: MemoryStore, log: string): Promise<string[]> =>
  (await store.events(log)).map((t) => (JSON.parse(t) as { type: string }).type);

test('AC-15: who types a code waits, and the moderator alone sees who', async () => {
  const a = await withArrival();
  expect(a.waits).toBe(true);
  expect((await a.view()).arrivals).toMatchObject([
    { seat: a.seat, device: a.device, asks: 'seat', name: 'Noor (invented)', role: 'reviewer' },
  ]);
  const other = await a.view(a.p.reviewers[0]);
  expect(other.arrivals).toEqual([]);
  expect(JSON.stringify(other)).not.toContain('Noor');
  expect(other.seats.find((s) => s.seat === a.seat)?.state).toBe('offered');
  expect(a.changed).toContain(a.p.evaluation);
});

test('AC-16: a session that waits has no seat anywhere, and knows what it asked for', async () => {
  const a = await withArrival();
  const session = await a.session();
  expect(await identityIn(a.app, session, a.p.panel)).toBeUndefined();
  expect(await seatsOf(a.app, session)).toEqual([]);
  expect(await arrivalOf(a.app, session)).toEqual({
    state: 'waiting',
    panel: a.p.panel,
    panelTitle: 'Panel',
    role: 'reviewer',
    letter: 'B',
    stoppedAt: null,
  });
  expect((await a.p.live()).state.seats.has(a.seat)).toBe(false);
  expect(await typesOf(a.store, a.p.evaluation)).not.toContain('seat-asked');
});

test('SD-10: a device at the door hears that everyone has stopped, without who and why, and that the day goes on', async () => {
  const a = await withArrival();
  const told = async (): Promise<unknown> => (await arrivalOf(a.app, await a.session()))?.stoppedAt;
  expect(await told()).toBeNull();
  accepted(await a.p.onPanel(a.p.moderator, { type: 'stop-everyone', reason: 'A buckle tore.' }));
  const since = await told();
  expect(since).toMatch(/^\d{4}-\d\d-\d\dT/u);
  expect(JSON.stringify(await arrivalOf(a.app, await a.session()))).not.toContain('buckle');
  const { secret } = await codeFor(a.p, 'observer');
  expect(await lookInvitation(a.app, { secret })).toMatchObject({ value: { stoppedAt: since } });
  accepted(
    await a.p.onPanel(a.p.moderator, { type: 'resume-everyone', measures: 'Buckle changed.' }),
  );
  expect(await told()).toBeNull();
});

test('AC-15: admitting seats the person in the panel and in its evaluations', async () => {
  const a = await withArrival();
  accepted(await a.decide('admit-arrival'));
  const session = await a.session();
  expect(await identityIn(a.app, session, a.p.panel)).toMatchObject({ seat: a.seat });
  expect(await arrivalOf(a.app, session)).toBeNull();
  expect((await a.p.live()).state.seats.get(a.seat)?.role).toBe('reviewer');
  expect((await a.view()).arrivals).toEqual([]);
  expect((await typesOf(a.store, a.p.panel)).slice(-3)).toEqual([
    'seat-asked',
    'arrival-admitted',
    'seat-taken',
  ]);
  expect(await a.decide('admit-arrival')).toMatchObject({
    ok: false,
    rejection: { code: 'unknown-thing' },
  });
});

test('AC-15: turning away frees the seat, forgets the name, and tells the device only that', async () => {
  const a = await withArrival();
  accepted(await a.decide('refuse-arrival'));
  const session = await a.session();
  expect(await identityIn(a.app, session, a.p.panel)).toBeUndefined();
  expect((await arrivalOf(a.app, session))?.state).toBe('refused');
  expect(JSON.stringify(await a.store.people(a.p.panel))).not.toContain('Noor');
  expect((await a.view()).seats.find((s) => s.seat === a.seat)).toMatchObject({
    state: 'offered',
    name: null,
  });
  const { code } = await codeFor(a.p, 'reviewer', { seat: a.seat, open: true });
  expect(await takeSeat(a.app, { code }, 'Olu')).toMatchObject({
    ok: true,
    value: { seat: a.seat },
  });
});

test('AC-15: only a moderator lets in; while somebody waits the seat is nobody else’s', async () => {
  const a = await withArrival();
  expect(await a.decide('admit-arrival', a.p.reviewers[0])).toMatchObject({
    ok: false,
    rejection: { code: 'role-may-not' },
  });
  const ask = { type: 'invite', role: 'reviewer', label: '', by: 'code', until: null } as const;
  expect(await a.p.onPanel(a.p.moderator, { ...ask, seat: a.seat })).toMatchObject({ ok: false });
});

test('two codes for one free seat: the second comer is not let in beside the first', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 1);
  const ask = { type: 'invite', role: 'observer', label: '', by: 'code', until: null } as const;
  const first = resultOf(await p.onPanel(p.moderator, { ...ask, seat: null }));
  if (first.kind !== 'invitation') throw new Error('no invitation');
  const second = await codeFor(p, 'observer', { seat: first.seat });
  expect(await takeSeat(app, { code: first.code ?? '' }, 'One')).toMatchObject({ ok: true });
  const unknown = await lookInvitation(app, { code: 'AAAA-AAAA' });
  expect(await lookInvitation(app, { code: second.code })).toEqual(unknown);
  expect(await takeSeat(app, { code: second.code }, 'Two')).toEqual(unknown);
  expect(await takeSeat(app, { secret: second.secret }, 'Two')).toEqual(unknown);
});

test('AC-15: a scanned link, and a code that is open at once, let in at once', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 1);
  const scanned = await codeFor(p, 'observer');
  expect(await lookInvitation(app, { code: scanned.code })).toMatchObject({
    value: { waits: true },
  });
  expect(await lookInvitation(app, { secret: scanned.secret })).toMatchObject({
    value: { waits: false },
  });
  const bySecret = await takeSeat(app, { secret: scanned.secret }, 'Olu');
  expect(bySecret).toMatchObject({ ok: true, value: { waits: false } });
  expect((await withArrival({ open: true })).waits).toBe(false);
});

test('AC-15: a typed code for a taken seat adds or moves nothing until it is let in', async () => {
  const { app, ended } = testApp();
  const p = await seatedPanel(app, 1);
  const [ada] = p.reviewers;
  if (!ada) throw new Error('nobody');
  const before = (await app.store.sessionsOf(ada.seat)).map((s) => s.id);
  const { code } = await codeFor(p, 'reviewer', { seat: ada.seat, move: true });
  const taken = await takeSeat(app, { code }, '');
  if (!taken.ok) throw new Error(taken.rejection.message);
  const added = await app.store.session(secretHash(taken.value.token));
  expect(ended).toEqual([]);
  expect((await app.store.sessionsOf(ada.seat)).map((s) => s.id)).toEqual(
    expect.arrayContaining(before),
  );
  const panel = await app.logs.panel(p.panel);
  const view = panel && (await panelView(app, panel, p.moderator, () => false));
  expect(view?.arrivals).toMatchObject([{ asks: 'move', seat: ada.seat }]);
  const device = added?.device ?? '';
  accepted(await p.onPanel(p.moderator, { type: 'admit-arrival', seat: ada.seat, device }));
  expect(ended).toEqual([{ sessions: before, why: 'moved' }]);
  expect((await app.store.sessionsOf(ada.seat)).map((s) => s.id)).toEqual([added?.id]);
});

test('revoking a seat ends what waits for it too', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 1);
  const seat = p.reviewers[0]?.seat ?? '';
  const { code } = await codeFor(p, 'reviewer', { seat });
  const taken = await takeSeat(app, { code }, '');
  if (!taken.ok) throw new Error(taken.rejection.message);
  accepted(await p.onPanel(p.moderator, { type: 'revoke-seat', seat, reason: 'Left the panel.' }));
  expect((await app.logs.panel(p.panel))?.state.arrivals.size).toBe(0);
  expect(await app.store.session(secretHash(taken.value.token))).toBeUndefined();
});
