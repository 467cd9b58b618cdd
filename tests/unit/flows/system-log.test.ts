import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { checkStore } from '../../../server/src/flows/check-store.ts';
import { ClockWatch } from '../../../server/src/flows/clock-watch.ts';
import { panelView } from '../../../server/src/flows/look.ts';
import { endOldSessions, sessionOf } from '../../../server/src/flows/sessions.ts';
import { signInLead } from '../../../server/src/flows/take-seat.ts';
import { leadInvitation } from '../../../server/src/flows/invite.ts';
import {
  record,
  recordJump,
  recordStart,
  systemLogOf,
} from '../../../server/src/flows/system-log.ts';
import type { App } from '../../../server/src/flows/app.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { HandClock } from '../../support/hand-clock.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp, vkey } from '../../support/test-app.ts';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

const withSystem = async (app: App) => {
  const system = await systemLogOf(app, () => app.ids.id('sy'));
  app.system = system;
  return system;
};

const eventsOf = async (store: MemoryStore, log: string) =>
  (await store.events(log)).map((t) => JSON.parse(t) as { type: string; data: unknown });

test('AU-7: a start says which program serves, and whether the one before it was stopped', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const system = await withSystem(app);
  await recordStart(app, system);
  await record(app, system, [{ type: 'server-stopped', data: {} }]);
  await recordStart({ ...app, software: 'unhindered next' }, system);
  await recordStart({ ...app, software: 'unhindered next' }, system);
  const starts = (await eventsOf(store, system.id)).filter((e) => e.type === 'server-started');
  expect(starts.map((e) => e.data)).toEqual([
    { software: 'unhindered test', before: null, unclean: false },
    { software: 'unhindered next', before: 'unhindered test', unclean: false },
    { software: 'unhindered next', before: 'unhindered next', unclean: true },
  ]);
  expect(await checkStore(store, vkey)).toEqual([]);
  expect((await systemLogOf(app, () => 'sy_another')).id).toBe(system.id);
});

test('AU-7: what happens to the server stands in evaluations under way, and in no other', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const system = await withSystem(app);
  const p = await seatedPanel(app, 1);
  await recordStart(app, system);
  expect((await eventsOf(store, p.evaluation)).at(-1)).toMatchObject({ type: 'server-started' });
  const text = (await store.events(p.evaluation)).at(-1) ?? '';
  expect(JSON.parse(text)).toMatchObject({ actor: 'system', role: 'system', cmd: null });
  const reason = 'The piece was swapped during the session.';
  accepted(await p.act(p.moderator, { type: 'withdraw', reason }));
  const before = await store.events(p.evaluation);
  await record(app, system, [{ type: 'store-restored', data: { had: 9, has: 3 } }]);
  expect(await store.events(p.evaluation)).toEqual(before);
  await record(app, system, [{ type: 'server-stopped', data: {} }]);
  expect((await eventsOf(store, system.id)).map((e) => e.type)).toEqual([
    'server-started',
    'store-restored',
    'server-stopped',
  ]);
});

test.each([
  ['forward', 400 * DAY],
  ['back', -30 * DAY],
])(
  'AC-18: a clock set %s while the server runs ends no session, and is on record',
  async (_way, ms) => {
    const store = new MemoryStore();
    const { app, clock, ended } = testApp(store);
    const system = await withSystem(app);
    const p = await seatedPanel(app, 1);
    const { invitation, secret } = leadInvitation(app);
    await app.store.commit({ invitations: [invitation] });
    const lead = await signInLead(app, secret);
    if (!lead.ok) throw new Error('sign-in failed');
    clock.advance(HOUR);
    expect(await recordJump(app, system)).toBe(0);
    clock.jump(ms);
    expect(await sessionOf(app, lead.value.token)).toBeDefined();
    expect(await recordJump(app, system)).toBe(ms);
    expect(await recordJump(app, system)).toBe(0);
    expect(await endOldSessions(app, [lead.value.session.id])).toEqual([]);
    expect(ended).toEqual([]);
    const jump = { type: 'clock-jumped', data: { ms, running: true } };
    expect((await eventsOf(store, system.id)).at(-1)).toMatchObject(jump);
    expect((await eventsOf(store, p.evaluation)).at(-1)).toMatchObject(jump);
    // The same after a restart: what is on record is taken off the clock.
    app.clock = new ClockWatch(clock, system.state.skew);
    expect(await sessionOf(app, lead.value.token)).toBeDefined();
    clock.advance(13 * HOUR);
    expect(await sessionOf(app, lead.value.token)).toBeUndefined();
  },
);

test('AC-18: small corrections are followed and are no jump', () => {
  const clock = new HandClock();
  const watch = new ClockWatch(clock);
  for (let i = 0; i < 10; i++) {
    clock.advance(30_000);
    clock.jump(400);
    expect(watch.look()).toBeUndefined();
  }
  expect(watch.steady()).toBe(clock.now());
});

test('AU-7: a clock that went back while no server ran is seen at the start', async () => {
  const store = new MemoryStore();
  const { app, clock } = testApp(store);
  const system = await withSystem(app);
  await recordStart(app, system);
  await record(app, system, [{ type: 'server-stopped', data: {} }]);
  clock.jump(-2 * HOUR);
  await recordStart(app, system);
  expect((await eventsOf(store, system.id)).at(-1)).toMatchObject({
    type: 'clock-jumped',
    data: { ms: -2 * HOUR, running: false },
  });
  expect(system.state.skew).toBe(0);
});

test('moderators are told of the last day, others are not', async () => {
  const { app, clock } = testApp();
  const system = await withSystem(app);
  const p = await seatedPanel(app, 1);
  await recordStart(app, system);
  await recordStart(app, system);
  clock.jump(HOUR);
  await recordJump(app, system);
  const panel = await app.logs.panel(p.panel);
  const notices = async (who = p.moderator) =>
    panel && (await panelView(app, panel, who, () => false))?.notices;
  expect(await notices()).toMatchObject([
    { what: 'clock', ms: HOUR, running: true },
    { what: 'ended-uncleanly' },
  ]);
  expect(await notices(p.reviewers[0])).toEqual([]);
  clock.advance(25 * HOUR);
  expect(await notices()).toEqual([]);
});

test('AU-8: a bundle names what was odd about the server, and holds all the same', async () => {
  const { bytes, key } = await lockedBundle(undefined, async ({ app, clock }) => {
    const system = await withSystem(app);
    await recordStart(app, system);
    await recordStart({ ...app, software: 'unhindered next' }, system);
    clock.jump(3 * DAY);
    await recordJump(app, system);
    clock.jump(-3 * DAY);
    await recordJump(app, system);
    await record(app, system, [{ type: 'store-restored', data: { had: 90, has: 60 } }]);
  });
  const { ok, findings, remarks } = verifyBundle(bytes, { key });
  expect({ ok, findings }).toEqual({ ok: true, findings: [] });
  const said = remarks.filter((r) => r.step === 'server').map((r) => r.what);
  expect(said).toEqual([
    'says that the server had ended without being stopped while round 1 was sealed',
    'says that the program changed from "unhindered test" to "unhindered next" while round 1 was sealed',
    'says that the clock was set forward by 3 days while round 1 was sealed: times around it are not sure',
    'says that the clock was set back by 3 days while round 1 was sealed: times around it are not sure',
    'says that a backup took the place of the store while round 1 was sealed (90 events before, 60 after)',
  ]);
});
