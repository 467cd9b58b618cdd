import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import type { Identity } from '../../../server/src/flows/app.ts';
import { newSession } from '../../../server/src/flows/sessions.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import { httpApp } from '../../../server/src/http/app.ts';
import { COOKIE } from '../../../server/src/http/origin.ts';
import { lockedBundle, type Locked } from '../../support/locked-bundle.ts';
import { seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';

let locked: Locked;
let url: string;
let server: ReturnType<typeof createServer>;
let evaluation: string;
/** A reviewer who joined after the lock, and one of another panel. */
let newcomer: Identity;
let elsewhere: SeatedPanel;
const cookies = new Map<string, string>();

const cookieOf = async (who: { seat: string | null; panel: string | null }): Promise<string> => {
  const { token, session } = newSession(locked.app, { seat: who.seat, panel: who.panel });
  await locked.app.store.commit({ sessions: [session] });
  return `${COOKIE}=${token}`;
};

beforeAll(async () => {
  locked = await lockedBundle();
  evaluation = locked.panel.evaluation;
  newcomer = await locked.panel.sit('reviewer', 'Nadia Newcomer');
  elsewhere = await seatedPanel(locked.app, 1);
  const log = { info: () => undefined, error: () => undefined };
  const tickets = new Tickets(locked.app, new MemoryTickets());
  server = createServer(httpApp(locked.app, tickets, { names: [] }, 'nowhere', log));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
  for (const who of [
    newcomer,
    locked.panel.moderator,
    ...locked.panel.reviewers,
    ...elsewhere.reviewers,
  ]) {
    cookies.set(who.seat, await cookieOf(who));
  }
});
afterAll(() => void server.close());

const ask = async (who: Identity | string, path: string, body?: object) => {
  const cookie = typeof who === 'string' ? who : (cookies.get(who.seat) ?? '');
  const response = await fetch(`${url}/api${path}`, {
    method: body ? 'POST' : 'GET',
    headers: {
      cookie,
      origin: url,
      connection: 'close',
      ...(body ? { 'content-type': 'application/json' } : {}),
    },
    ...(body ? { body: JSON.stringify(body) } : {}),
  });
  const text = await response.text();
  return { status: response.status, text, json: JSON.parse(text) as Record<string, never> };
};

const rating = (step: number) => ({
  answer: 'step',
  step,
  easier: false,
  reason: null,
  critical: null,
  note: null,
  at: null,
});

/** What the panel found, in ways that it could leave: settled values, reasons, verdict, letters' ratings. */
const RESULT = /settled|Talked through|composite|verdict|"median"|lowest|blocked/iu;

test('CP-3: on offer are locked evaluations in which one never sat, to reviewers alone', async () => {
  const { json } = await ask(newcomer, '/practice');
  expect(json).toMatchObject({ offers: [{ evaluation, state: 'open' }] });
  const [rated] = locked.panel.reviewers;
  if (!rated) throw new Error('nobody is seated');
  expect((await ask(rated, '/practice')).json).toEqual({ offers: [] });
  expect((await ask(rated, '/practice', { evaluation })).status).toBe(404);
  for (const who of [locked.panel.moderator, await cookieOf({ seat: null, panel: null })]) {
    expect((await ask(who, '/practice')).json).toMatchObject({ error: { code: 'role-may-not' } });
  }
});

test('CP-2: from its beginning to its end nothing of a result is given to the one who practises', async () => {
  const begun = await ask(newcomer, '/practice', { evaluation });
  expect(begun.status).toBe(200);
  expect(begun.json).toMatchObject({
    kind: 'material',
    material: { state: 'begun', ownPanel: true },
  });
  expect(begun.text).not.toMatch(RESULT);
  expect((await ask(newcomer, `/practice/${evaluation}`)).text).not.toMatch(RESULT);
  for (const path of [
    `/evaluations/${evaluation}/record`,
    `/evaluations/${evaluation}/report`,
    `/evaluations/${evaluation}/bundle`,
    `/evaluations/${evaluation}/data/ratings.csv`,
    '/catalogue',
    `/compare?ids=${evaluation}`,
    `/cards/${evaluation}`,
    `/panels/${newcomer.panel}/learning/${newcomer.seat}`,
  ]) {
    const answer = await ask(newcomer, path);
    expect(answer.json, path).toMatchObject({ error: { code: 'round-sealed' } });
    expect(answer.text, path).not.toMatch(RESULT);
  }
  // Everybody else goes on reading.
  expect((await ask(locked.panel.moderator, `/evaluations/${evaluation}/record`)).status).toBe(200);
});

test('a practice is checked like a sheet, and handed in once', async () => {
  const finish = (ratings: object[], share = false) =>
    ask(newcomer, '/practice/finish', { evaluation, ratings, share });
  expect((await finish([])).json).toMatchObject({ error: { code: 'bad-input' } });
  expect((await finish([{ task: 'airway-open', rating: rating(9) }])).json).toMatchObject({
    error: { code: 'bad-input', detail: { task: 'airway-open' } },
  });
  const twice = { task: 'airway-open', rating: rating(2) };
  expect((await finish([twice, twice])).json).toMatchObject({
    error: { message: expect.stringContaining('twice') },
  });
});

test('CP-1: then it stands beside the panel, task by task, and the record has not changed by a byte', async () => {
  const { app, panel } = locked;
  const size = (await panel.live()).size;
  const panelSize = (await app.logs.panelNow(panel.panel))?.size;
  const answer = await ask(newcomer, '/practice/finish', {
    evaluation,
    share: false,
    ratings: [
      { task: 'airway-open', rating: rating(4) },
      { task: 'fm-tool-first', rating: rating(2) },
      { task: 'pulse-check', rating: rating(1) },
    ],
  });
  expect(answer.json).toMatchObject({ kind: 'compared' });
  const { comparison } = answer.json as unknown as { comparison: Record<string, unknown> };
  expect(comparison).toMatchObject({
    shared: false,
    compared: 2,
    // 4 against a median of 2, and 2 against a decided 2.5.
    mean: { value: 0.75 },
    distance: { value: 1.25 },
    withinOne: { value: 0.5 },
    tasks: [
      {
        task: 'airway-open',
        distance: 2,
        settled: { value: 2, how: 'leave-open' },
        panel: { n: 3, lowest: 2, highest: 4 },
      },
      {
        task: 'fm-tool-first',
        distance: -0.5,
        settled: { value: 2.5, how: 'decide', reason: expect.stringContaining('Talked through') },
      },
      {
        task: 'pulse-check',
        distance: null,
        settled: null,
        panel: { n: 0, lowest: null, highest: null },
      },
    ],
  });
  expect((await panel.live()).size).toBe(size);
  expect((await app.logs.panelNow(panel.panel))?.size).toBe(panelSize);
  expect(
    (
      await ask(newcomer, '/practice/finish', {
        evaluation,
        share: true,
        ratings: [{ task: 'airway-open', rating: rating(2) }],
      })
    ).json,
  ).toMatchObject({ error: { code: 'not-started' } });
  // Results are open again.
  expect((await ask(newcomer, '/catalogue')).status).toBe(200);
  expect((await ask(newcomer, `/evaluations/${evaluation}/record`)).status).toBe(200);
});

test('CP-4: nobody sees it but the reviewer; the lead does when it is shown, and no longer when that is taken back', async () => {
  const lead = await cookieOf({ seat: null, panel: null });
  const page = `/panels/${newcomer.panel}/learning/${newcomer.seat}`;
  const practices = async (who: Identity | string) =>
    (await ask(who, page)).json as unknown as { practices?: unknown[]; error?: object };
  expect((await practices(newcomer)).practices).toHaveLength(1);
  expect((await practices(lead)).practices).toEqual([]);
  await ask(newcomer, '/practice/share', { evaluation, share: true });
  expect((await practices(lead)).practices).toHaveLength(1);
  for (const who of [locked.panel.moderator, ...locked.panel.reviewers]) {
    expect(await practices(who)).toMatchObject({ error: { code: 'unknown-thing' } });
    expect((await ask(who, `/practice/${evaluation}`)).text).not.toContain('comparison');
  }
  await ask(newcomer, '/practice/share', { evaluation, share: false });
  expect((await practices(lead)).practices).toEqual([]);
});

test('one practice at a time; one that was given up is over, also when the record was withdrawn meanwhile', async () => {
  const [other] = elsewhere.reviewers;
  if (!other) throw new Error('nobody is seated');
  expect((await ask(other, '/practice', { evaluation })).json).toMatchObject({
    material: { ownPanel: false, media: [] },
  });
  const { act, moderator } = locked.panel;
  await act(moderator, { type: 'withdraw', reason: 'The piece was not what its label said.' });
  expect((await ask(other, '/catalogue')).json).toMatchObject({ error: { code: 'round-sealed' } });
  expect((await ask(other, '/practice/give-up', { evaluation })).json).toMatchObject({
    offers: [{ state: 'given-up' }],
  });
  expect((await ask(other, '/catalogue')).status).toBe(200);
  expect((await ask(other, '/practice', { evaluation })).status).toBe(404);
});
