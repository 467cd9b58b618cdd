import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import type { Identity } from '../../../server/src/flows/app.ts';
import { newSession } from '../../../server/src/flows/sessions.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import { httpApp } from '../../../server/src/http/app.ts';
import { COOKIE } from '../../../server/src/http/origin.ts';
import { PAPER_CSV, sha } from '../../support/from-paper.ts';
import { CLIENT_AT, commandId, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp, type TestApp } from '../../support/test-app.ts';

let made: TestApp;
let panel: SeatedPanel;
let other: SeatedPanel;
let url: string;
let server: ReturnType<typeof createServer>;

beforeAll(async () => {
  made = testApp();
  panel = await seatedPanel(made.app, 1);
  other = await seatedPanel(made.app, 0);
  const log = { info: () => undefined, error: () => undefined };
  const tickets = new Tickets(made.app, new MemoryTickets());
  server = createServer(httpApp(made.app, tickets, { names: [] }, 'nowhere', log));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
});
afterAll(() => void server.close());

const base64 = (text: string): string => Buffer.from(text).toString('base64');

const ask = async (who: Identity, path: string, body: object, of = panel.evaluation) => {
  const { token, session } = newSession(made.app, { seat: who.seat, panel: who.panel });
  await made.app.store.commit({ sessions: [session] });
  const response = await fetch(`${url}/api/evaluations/${of}/paper${path}`, {
    method: 'POST',
    headers: {
      cookie: `${COOKIE}=${token}`,
      origin: url,
      connection: 'close',
      'content-type': 'application/json',
    },
    body: JSON.stringify(body),
  });
  return { status: response.status, json: (await response.json()) as Record<string, never> };
};

const message = (seats: { reviewer: string; seat: string | null }[]) => ({
  id: commandId(),
  clientAt: CLIENT_AT,
  csv: base64(PAPER_CSV),
  command: {
    type: 'import-ratings',
    file: 'paper day.csv',
    sha256: sha(PAPER_CSV),
    withoutFaulty: false,
    seats,
  },
});

test('a file is looked at and brought in by a moderator of the panel alone; others are told as little as ever', async () => {
  const [reviewer] = panel.reviewers;
  if (!reviewer) throw new Error('nobody is seated');
  const csv = base64(PAPER_CSV);
  expect((await ask(reviewer, '/check', { csv })).json).toMatchObject({
    error: { code: 'role-may-not' },
  });
  expect((await ask(other.moderator, '/check', { csv })).status).toBe(404);
  expect((await ask(panel.moderator, '/check', { csv })).json).toMatchObject({
    sha256: sha(PAPER_CSV),
    rows: 7,
    faults: [],
  });
  const seats = [
    { reviewer: 'Ana', seat: null },
    { reviewer: 'Ben', seat: null },
    { reviewer: 'Reviewer 1', seat: reviewer.seat },
  ];
  expect((await ask(other.moderator, '', message(seats))).status).toBe(404);
  expect((await ask(reviewer, '', message(seats))).json).toMatchObject({
    error: { code: 'role-may-not' },
  });
  expect((await panel.live()).state.paper).toBeNull();
  expect((await ask(panel.moderator, '', message(seats))).json).toMatchObject({ ok: true });
  expect((await panel.live()).state.paper?.file).toBe('paper day.csv');
});

test('a body that is too long, or no base64, is refused with words; 64 kB is not the limit here', async () => {
  const long = `task,reviewer,rating,note\n${`airway-open,Ana,2,${'x'.repeat(1000)}\n`.repeat(100)}`;
  const checked = await ask(other.moderator, '/check', { csv: base64(long) }, other.evaluation);
  expect(checked.status).toBe(200);
  const no = await ask(other.moderator, '/check', { csv: 'not base64!' }, other.evaluation);
  expect(no.json).toMatchObject({ error: { code: 'bad-input', detail: { place: 'csv' } } });
  const huge = await ask(
    other.moderator,
    '/check',
    { csv: 'A'.repeat(3_000_000) },
    other.evaluation,
  );
  expect(huge.status).toBeGreaterThanOrEqual(400);
  expect(huge.json).toHaveProperty('error');
});
