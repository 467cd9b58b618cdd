import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import { leadInvitation } from '../../../server/src/flows/invite.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import { httpApp } from '../../../server/src/http/app.ts';
import type {
  AccessAnswer,
  AccessComparison,
  PlanAnswer,
  PlanBody,
} from '../../../shared-types/src/index.ts';
import { accessOf } from '../../../server/src/flows/access-times.ts';
import { newSession } from '../../../server/src/flows/sessions.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';

const silent = { info: () => undefined, error: () => undefined };

const serve = async () => {
  const locked = await lockedBundle();
  const { app, panel } = locked;
  const server = createServer(
    httpApp(app, new Tickets(app, new MemoryTickets()), { names: [] }, '/nowhere', silent),
  );
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  const url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/api`;
  const send = async <T>(path: string, body: unknown, as: string) => {
    const response = await fetch(`${url}${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie: as },
      body: JSON.stringify(body),
    });
    return { response, status: response.status, body: (await response.json()) as T };
  };
  const { invitation, secret } = leadInvitation(app);
  await app.store.commit({ invitations: [invitation] });
  const signedIn = await send('/sign-in', { secret }, '');
  const cookie = signedIn.response.headers.getSetCookie()[0] ?? '';
  const get = async <T>(path: string, as = cookie): Promise<{ status: number; body: T }> => {
    const response = await fetch(`${url}${path}`, { headers: { cookie: as } });
    return { status: response.status, body: (await response.json()) as T };
  };
  const path = `/panels/${panel.moderator.panel}/plan`;
  const plan = (body: unknown, as = cookie) =>
    send<PlanAnswer & { error?: { message: string; detail?: object } }>(path, body, as);
  return { ...locked, get, plan, send, cookie };
};

const BODY: PlanBody = {
  size: null,
  protocol: { id: 'emergency-access', version: '1.0.0' },
  operators: ['K2', 'K1'],
  conditions: ['With the equipment', 'Without it'],
  seed: 7,
  tasks: [{ task: 'fm-tool-first', trialMinutes: 3, resetMinutes: 2, tiring: true }],
  trials: 2,
  rules: { restMinutes: 3, breakMinutes: 15, workMinutes: 90, practice: 1, dayMinutes: 480 },
  start: '09:00',
};
const STATED = {
  piece: 1,
  reviewer: 0.1,
  trial: 0.1,
  pieceReviewer: 0.2,
  pieceTrial: 0.1,
  reviewerTrial: 0.05,
  residual: 0.4,
};

test('PN-1: the same body gives the same plan; orders, day, equipment and files belong together', async () => {
  const { plan } = await serve();
  const { status, body } = await plan(BODY);
  expect(status).toBe(200);
  expect((await plan(BODY)).body).toEqual(body);
  expect(body.size).toBeNull();
  expect(body.orders).toMatchObject({ balanced: true, note: null, seed: 7 });
  expect(body.orders.rows.map((r) => r.operator)).toEqual(['K1', 'K2']);
  expect(body.orders.rows.map((r) => r.conditions[0]).toSorted()).toEqual(BODY.conditions);
  if ('why' in body.day) throw new Error(body.day.why);
  expect(body.day.trials).toBe(8);
  expect(body.day.slots.filter((s) => s.kind === 'practice')).toHaveLength(2);
  const firsts = body.day.slots.filter((s) => s.operator === 'K1' && s.kind === 'trial');
  expect([...new Set(firsts.map((s) => s.condition))]).toEqual(body.orders.rows[0]?.conditions);
  expect(body.equipment[0]).toMatchObject({ title: 'Primary face-mask tool' });
  expect(body.files.map((f) => f.name)).toEqual([
    'plan-day.csv',
    'plan-orders.csv',
    'plan-equipment.csv',
    'plan.txt',
  ]);
  const [day, orders] = body.files;
  expect(day?.text.split('\n')[0]).toBe('from,to,minute,what,task,operator,condition,trial');
  expect(day?.text.split('\n')[1]).toMatch(/^09:00,09:05,0,practice,Face-mask off/u);
  expect(orders?.text).toMatch(/^operator,row,order,seed\nK1,\d,.*,7$/mu);
  expect(body.files[3]?.text).toContain('seed 7');
  const other = (await plan({ ...BODY, operators: ['K1', 'K2', 'K3', 'K4'], seed: 8 })).body;
  expect(other.orders.rows).toHaveLength(4);
  expect((await plan({ ...BODY, conditions: ['Worn'] })).body.orders.note).toMatch(/no order/u);
});

test('PN-3: what a spreadsheet would run as a formula is kept as text', async () => {
  const { plan } = await serve();
  const { body } = await plan({ ...BODY, conditions: ['=1+1', 'Without it'] });
  expect(body.files[0]?.text).toContain("'=1+1");
  expect(body.files[0]?.text).not.toMatch(/,=1\+1/u);
});

test('reviewers for a wanted dependability: from stated variances, and from a locked evaluation', async () => {
  const { plan, panel } = await serve();
  const stated = await plan({ ...BODY, size: { wanted: 0.8, from: { stated: STATED } } });
  if (stated.body.size?.kind !== 'stated') throw new Error('no sizes');
  // One trial: 1 / (1 + 0.2 + 0.75 / r) reaches 0.8 at r = 15; two trials sooner.
  expect(stated.body.size.sizes[0]).toMatchObject({ trials: 1, reviewers: 15 });
  expect(stated.body.size.sizes[1]?.reviewers).toBeLessThan(15);
  const from = { evaluation: panel.evaluation };
  const earlier = await plan({ ...BODY, size: { wanted: 0.8, from } });
  expect(earlier.status).toBe(200);
  if (earlier.body.size?.kind !== 'evaluation') throw new Error(JSON.stringify(earlier.body.size));
  const { needed, table, components } = earlier.body.size;
  expect(components.task).toBeGreaterThan(0);
  const at = (n: number): number => table.find((t) => t.reviewers === n)?.phi ?? 0;
  if (needed !== null && needed <= table.length) {
    expect(at(needed)).toBeGreaterThanOrEqual(0.8 - 1e-9);
    if (needed > 1) expect(at(needed - 1)).toBeLessThan(0.8);
  }
  const none = await plan({
    ...BODY,
    size: { wanted: 0.8, from: { stated: { ...STATED, piece: 0 } } },
  });
  expect(none.body.size).toEqual({ kind: 'none', why: expect.stringMatching(/do not differ/u) });
});

test('bad input is named with its place and its remedy', async () => {
  const { plan } = await serve();
  const said = async (body: unknown) => {
    const { status, body: answer } = await plan(body);
    return `${String(status)} ${answer.error?.message ?? ''}`;
  };
  expect(await said({ ...BODY, operators: ['K1', 'K1'] })).toMatch(/^400 "operators": .*twice/u);
  expect(await said({ ...BODY, operators: [] })).toMatch(/^400 .*at least one operator/u);
  expect(await said({ ...BODY, start: '25:00' })).toMatch(/^400 "start": .*09:00/u);
  expect(await said({ ...BODY, tasks: [{ ...BODY.tasks[0], task: 'none' }] })).toMatch(
    /^400 .*no task "none"/u,
  );
  expect(await said({ ...BODY, protocol: { id: 'x', version: '1.0.0' } })).toMatch(
    /^404 .*no such protocol version/u,
  );
  const many = Array.from({ length: 40 }, (_, i) => `K${String(i)}`);
  expect(
    await said({ ...BODY, operators: many, trials: 20, tasks: [...BODY.tasks, ...BODY.tasks] }),
  ).toMatch(/^400 These are 3280 turns/u);
  expect(
    await said({ ...BODY, size: { wanted: 0.8, from: { evaluation: `ev_${'A'.repeat(22)}` } } }),
  ).toMatch(/^404 .*not in the catalogue/u);
  expect(await said('nothing')).toMatch(/^400/u);
});

test('PN-2: a reviewer of the panel does not plan its day', async () => {
  const { app, panel, plan } = await serve();
  const [reviewer] = panel.reviewers;
  const { token, session } = newSession(app, {
    seat: reviewer?.seat ?? '',
    panel: panel.moderator.panel,
  });
  await app.store.commit({ sessions: [session] });
  const { status, body } = await plan(BODY, `__Host-unhindered=${token}; unhindered=${token}`);
  expect([status, body.error?.message]).toEqual([403, 'The moderators of a panel plan its day.']);
});

test('LA-3 SE-12: before the first opening times to access are kept back where the protocol keeps trials back', async () => {
  const { app } = testApp();
  const [key = '', shipped] = [...app.protocols][0] ?? [];
  if (!shipped) throw new Error('no protocol');
  const hidden = { ...shipped.protocol, evidenceBeforeRating: false };
  app.protocols = new Map([[key, { ...shipped, protocol: hidden }]]);
  const panel = await seatedPanel(app, 3);
  accepted(await panel.act(panel.moderator, { type: 'start-round' }));
  const [reviewer] = panel.reviewers;
  const asked = async (seat: string) => (await accessOf(app, await panel.live(), seat)).ok;
  expect(await asked(reviewer?.seat ?? '')).toBe(false);
  expect(await asked(panel.moderator.seat)).toBe(true);
  expect(await asked('st_none')).toBe(false);
  if (!reviewer) throw new Error('nobody rates');
  await panel.rate(reviewer, { 'fm-tool-first': 1 });
  accepted(await panel.act(panel.moderator, { type: 'open-round', withMissing: true }));
  expect(await asked(reviewer?.seat ?? '')).toBe(true);
});

test('PN-2 LA-3: nobody who is not signed in, and no other panel', async () => {
  const { plan, get, send, cookie, panel } = await serve();
  expect((await plan(BODY, '')).status).toBe(401);
  expect((await send(`/panels/pn_${'A'.repeat(22)}/plan`, BODY, cookie)).status).toBe(404);
  const own = `/evaluations/${panel.evaluation}/access`;
  expect((await get(own, '')).status).toBe(404);
  const access = await get<AccessAnswer>(own);
  expect(access.body.ladders[0]).toMatchObject({ id: 'face-access', figures: null });
  const side = `/compare/access?ids=${panel.evaluation}`;
  expect((await get(side, '')).status).toBe(401);
  const compared = await get<AccessComparison>(side);
  expect(compared.body.evaluations).toEqual([access.body]);
  expect((await get('/compare/access?ids=')).status).toBe(400);
  expect((await get(`/compare/access?ids=ev_${'A'.repeat(22)}`)).status).toBe(404);
});
