import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import { leadInvitation } from '../../../server/src/flows/invite.ts';
import { panelView } from '../../../server/src/flows/look.ts';
import { secretHash } from '../../../server/src/flows/secrets.ts';
import {
  endOldSessions,
  identityIn,
  seatsOf,
  sessionOf,
  signOut,
} from '../../../server/src/flows/sessions.ts';
import { lookInvitation, signInLead, takeSeat } from '../../../server/src/flows/take-seat.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import type { Role } from '../../../shared-types/src/index.ts';
import { accepted, resultOf, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

const invite = async (
  p: SeatedPanel,
  by: 'code' | 'link',
  role: Role = 'observer',
  until: string | null = null,
) => {
  const command = { type: 'invite', role, label: '', by, until, seat: null } as const;
  const made = resultOf(await p.onPanel(p.moderator, command));
  if (made.kind !== 'invitation') throw new Error('no invitation');
  return made;
};

const DOES_NOT_WORK = { ok: false, rejection: { code: 'code-unknown' } };

test('AC-8: a typed code works once, in any spelling, for ten minutes', async () => {
  const { app, clock } = testApp();
  const p = await seatedPanel(app, 1);
  const one = await invite(p, 'code');
  const typed = (one.code ?? '').toLowerCase().replace('-', ' ');
  expect(await takeSeat(app, { code: typed }, 'Olu')).toMatchObject({ ok: true });
  expect(await takeSeat(app, { code: typed }, 'Eve')).toMatchObject(DOES_NOT_WORK);
  expect(await takeSeat(app, { secret: one.secret }, 'Eve')).toMatchObject(DOES_NOT_WORK);
  const two = await invite(p, 'code');
  clock.advance(10 * MINUTE);
  expect(await takeSeat(app, { code: two.code ?? '' }, 'Olu')).toMatchObject(DOES_NOT_WORK);
});

test('AC-8: a link works until its date; a second use adds a device to the same seat', async () => {
  const { app, clock } = testApp();
  const p = await seatedPanel(app, 1);
  const until = new Date(clock.now() + 48 * HOUR).toISOString();
  const link = await invite(p, 'link', 'observer', until);
  expect(link.code).toBeNull();
  const first = await takeSeat(app, { secret: link.secret }, 'Olu');
  clock.advance(47 * HOUR);
  const second = await takeSeat(app, { secret: link.secret }, '');
  if (!first.ok || !second.ok) throw new Error('a link did not work');
  expect(second.value.seat).toBe(first.value.seat);
  expect(second.value.token).not.toBe(first.value.token);
  clock.advance(2 * HOUR);
  expect(await takeSeat(app, { secret: link.secret }, '')).toMatchObject(DOES_NOT_WORK);
});

test('looking at an invitation changes nothing; unknown, used and revoked ones answer alike', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  const { secret, seat } = await invite(p, 'code', 'reviewer');
  const sizes = await store.logs();
  expect(await lookInvitation(app, { secret })).toEqual({
    ok: true,
    value: {
      panelTitle: 'Panel',
      occasion: '',
      role: 'reviewer',
      letter: 'B',
      label: '',
      name: null,
      waits: false,
      stoppedAt: null,
    },
  });
  expect(await store.logs()).toEqual(sizes);
  const unknown = await lookInvitation(app, { secret: 'nothing' });
  accepted(await p.onPanel(p.moderator, { type: 'cancel-invitation', seat }));
  expect(await lookInvitation(app, { secret })).toEqual(unknown);
  expect(await takeSeat(app, { secret }, 'Olu')).toEqual(unknown);
});

test('a seat needs a name; the wall has one of its own', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 1);
  const observer = await invite(p, 'code');
  expect(await takeSeat(app, { secret: observer.secret }, '')).toMatchObject({
    ok: false,
    rejection: { code: 'bad-input', detail: { field: 'name' } },
  });
  const wall = await invite(p, 'code', 'wall');
  expect(await takeSeat(app, { secret: wall.secret }, '')).toMatchObject({ ok: true });
});

test('the name of a person is in no event; its salted hash is', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  await p.sit('observer', 'Zebulon Quist');
  for (const { log } of await store.logs()) {
    expect((await store.events(log)).join('\n')).not.toContain('Zebulon');
  }
  expect((await store.people(p.panel)).map((x) => x.name)).toContain('Zebulon Quist');
});

test('EV-6: a seat taken, a tie declared and a seat revoked stand in the panel and in its evaluations', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const late = await p.sit('reviewer', 'Late');
  await p.declare(late);
  const types = (await store.events(p.evaluation)).map(
    (t) => (JSON.parse(t) as { type: string }).type,
  );
  expect(types.slice(-3)).toEqual(['seat-taken', 'sheet-added', 'interest-declared']);
  const document = (await p.live()).state.rounds[0]?.sheets.get(late.seat) ?? '';
  expect(await store.load(document)).toEqual({ updates: [], owners: new Map() });
});

test('AC-9: revoking a seat ends its sessions, and its next command is refused', async () => {
  const { app, ended } = testApp();
  const p = await seatedPanel(app, 2);
  const [ada] = p.reviewers;
  const reason = 'Left the panel.';
  accepted(await p.onPanel(p.moderator, { type: 'revoke-seat', seat: ada!.seat, reason }));
  expect(ended).toEqual([{ sessions: [ada!.session], why: 'revoked' }]);
  expect(await app.store.session(ada!.session)).toBeUndefined();
  expect(await p.act(ada!, { type: 'finish-sheet' })).toMatchObject({ ok: false });
});

test('AC-1: a session ends after 12 idle hours, and after 24 hours in any case', async () => {
  const { app, clock } = testApp();
  const { invitation, secret } = leadInvitation(app);
  await app.store.commit({ invitations: [invitation] });
  const signedIn = await signInLead(app, secret);
  if (!signedIn.ok) throw new Error('sign-in failed');
  const { token } = signedIn.value;
  expect(await signInLead(app, secret)).toMatchObject(DOES_NOT_WORK);
  expect(await sessionOf(app, token)).toBeDefined();
  expect(await sessionOf(app, `${token}x`)).toBeUndefined();
  expect(await sessionOf(app, undefined)).toBeUndefined();
  clock.advance(11 * HOUR);
  expect(await sessionOf(app, token)).toBeDefined();
  clock.advance(11 * HOUR);
  expect(await sessionOf(app, token)).toBeDefined();
  clock.advance(2 * HOUR + 1);
  expect(await sessionOf(app, token)).toBeUndefined();
  const other = leadInvitation(app);
  await app.store.commit({ invitations: [other.invitation] });
  const again = await signInLead(app, other.secret);
  if (!again.ok) throw new Error('sign-in failed');
  clock.advance(12 * HOUR + 1);
  expect(await sessionOf(app, again.value.token)).toBeUndefined();
});

test('what is over by the clock is forgotten, and its sockets are named', async () => {
  const { app, clock } = testApp();
  const p = await seatedPanel(app, 1);
  const used = [p.moderator.session, p.reviewers[0]!.session];
  expect(await endOldSessions(app, used)).toEqual([]);
  clock.advance(25 * HOUR);
  expect((await endOldSessions(app, used)).toSorted()).toEqual(used.toSorted());
});

test('signing out ends the session and its sockets', async () => {
  const { app, ended } = testApp();
  const p = await seatedPanel(app, 1);
  await signOut(app, p.lead);
  expect(ended).toEqual([{ sessions: [p.lead.id], why: 'signed-out' }]);
  expect(await app.store.session(p.lead.id)).toBeUndefined();
});

test('a session has a seat in its own panel only; the lead has one in each panel they made', async () => {
  const { app, clock } = testApp();
  const one = await seatedPanel(app, 1);
  clock.advance(MINUTE);
  const two = await seatedPanel(app, 1);
  const session = await app.store.session(one.reviewers[0]!.session);
  if (!session) throw new Error('no session');
  expect(await identityIn(app, session, two.panel)).toBeUndefined();
  expect(await seatsOf(app, session)).toMatchObject([{ panel: one.panel, role: 'reviewer' }]);
  const lead = await seatsOf(app, two.lead);
  expect(lead.map((s) => s.panel)).toEqual([two.panel, one.panel]);
});

test('AC-10: what belongs to another panel answers exactly like what does not exist', async () => {
  const { app } = testApp();
  const one = await seatedPanel(app, 1);
  const two = await seatedPanel(app, 1);
  const foreign = await two.act(one.moderator, { type: 'start-round' });
  const nothing = await app.logs.evaluation('ev_0000000000000000000000');
  expect(nothing).toBeUndefined();
  expect(foreign).toEqual({
    ok: false,
    rejection: { code: 'unknown-thing', message: 'There is no such evaluation.' },
  });
});

test('AC-4: a ticket works once, for its session and document, for a minute', async () => {
  const { app, clock } = testApp();
  const tickets = new Tickets(app, new MemoryTickets());
  const whose = { session: 's1', document: 'dc_1', evaluation: 'ev_1', panel: 'pn_1' };
  const use = (ticket: string, session: string | undefined = 's1', document = 'dc_1') =>
    tickets.use(ticket, session, document);
  const good = await tickets.issue(whose);
  expect(await use(good)).toEqual({ evaluation: 'ev_1', panel: 'pn_1' });
  expect(await use(good)).toBeUndefined();
  expect(await use(await tickets.issue(whose), 's2')).toBeUndefined();
  expect(await use(await tickets.issue(whose), 's1', 'dc_2')).toBeUndefined();
  expect(await use('made up')).toBeUndefined();
  const old = await tickets.issue(whose);
  clock.advance(MINUTE + 1);
  expect(await use(old)).toBeUndefined();
});

test('the hash of a session token is not the token', () => {
  expect(secretHash('token')).toMatch(/^[0-9a-f]{64}$/u);
  expect(secretHash('token')).not.toBe(secretHash('Token'));
});

test('AC-13: adding a device leaves the others; moving ends the one that asked, and says so', async () => {
  const { app, ended } = testApp();
  const p = await seatedPanel(app, 1);
  const [ada] = p.reviewers;
  if (!ada) throw new Error('nobody');
  const codeOf = async (command: 'add-device' | 'move-device'): Promise<string> => {
    const made = resultOf(await p.onPanel(ada, { type: command }));
    return made.kind === 'invitation' ? (made.code ?? '') : '';
  };
  const before = (await app.store.sessionsOf(ada.seat)).map((s) => s.id);
  expect(await takeSeat(app, { code: await codeOf('add-device') }, '')).toMatchObject({ ok: true });
  expect(await app.store.sessionsOf(ada.seat)).toHaveLength(before.length + 1);
  expect(ended).toEqual([]);
  expect(await takeSeat(app, { code: await codeOf('move-device') }, '')).toMatchObject({
    ok: true,
  });
  const after = (await app.store.sessionsOf(ada.seat)).map((s) => s.id);
  expect(after).not.toContain(ada.session);
  expect(after).toHaveLength(before.length + 1);
  expect(ended).toEqual([{ sessions: [ada.session], why: 'moved' }]);
  const texts = await app.store.events(p.panel);
  expect(texts.filter((t) => t.includes('"device-moved"'))).toHaveLength(1);
});

test('AC-13: the moderator moves a seat whose device is lost: every other session of it ends', async () => {
  const { app, ended } = testApp();
  const p = await seatedPanel(app, 1);
  const [ada] = p.reviewers;
  const seat = ada?.seat ?? '';
  const ask = { type: 'invite', role: 'reviewer', label: '', by: 'code', until: null } as const;
  const made = resultOf(await p.onPanel(p.moderator, { ...ask, seat, move: true, open: true }));
  const code = made.kind === 'invitation' ? (made.code ?? '') : '';
  const old = (await app.store.sessionsOf(seat)).map((s) => s.id);
  const taken = await takeSeat(app, { code }, '');
  expect(taken).toMatchObject({ ok: true });
  expect(ended).toEqual([{ sessions: old, why: 'moved' }]);
  expect(await app.store.sessionsOf(seat)).toHaveLength(1);
});

test('EV-8: a panel keeps a moderator: the last cannot be sent away, one of two can', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 1);
  const reason = 'Hands over to a colleague.';
  const away = { type: 'revoke-seat', seat: p.moderator.seat, reason } as const;
  expect(await p.onPanel(p.moderator, away)).toMatchObject({
    ok: false,
    rejection: { code: 'nobody-seated' },
  });
  const second = await p.sit('moderator', 'Second');
  accepted(await p.onPanel(second, away));
  expect(await p.onPanel(p.moderator, away)).toMatchObject({ ok: false });
});

test('AC-14: an erased name is gone from everything the server tells; the log keeps its hash', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 1);
  const ada = p.reviewers[0]?.seat ?? '';
  const person = (await app.store.people(p.panel)).find((x) => x.seat === ada);
  const erase = { type: 'erase-name', seat: ada } as const;
  expect(await p.onPanel(p.reviewers[0]!, erase)).toMatchObject({
    ok: false,
    rejection: { code: 'role-may-not' },
  });
  accepted(await p.onPanel(p.moderator, erase));
  const panel = await app.logs.panel(p.panel);
  const view = panel && (await panelView(app, panel, p.moderator, () => false));
  expect(view?.seats.find((x) => x.seat === ada)).toMatchObject({
    name: 'name erased',
    erased: true,
  });
  expect(JSON.stringify(view)).not.toContain(person?.name ?? '?');
  expect(await app.store.people(p.panel)).not.toContainEqual(
    expect.objectContaining({ salt: person?.salt }),
  );
  expect((await app.store.events(p.panel)).join('')).toContain('"name-erased"');
  expect(await p.onPanel(p.moderator, erase)).toMatchObject({ ok: false });
});
