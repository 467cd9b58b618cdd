import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { paperFonts } from '../../../server/src/adapters/paper-fonts.ts';
import { makeRecord } from '../../../server/src/cli/make-record.ts';
import { newSession } from '../../../server/src/flows/sessions.ts';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import { httpApp } from '../../../server/src/http/app.ts';
import { COOKIE } from '../../../server/src/http/origin.ts';
import { lockedBundle, type Locked } from '../../support/locked-bundle.ts';
import { seatedPanel } from '../../support/seated-panel.ts';

let locked: Locked;
let url: string;
let server: ReturnType<typeof createServer>;
/** A member's cookie, and that of somebody of another panel. */
let member: string;
let stranger: string;

const cookieOf = async (seat: string, panel: string): Promise<string> => {
  const { token, session } = newSession(locked.app, { seat, panel });
  await locked.app.store.commit({ sessions: [session] });
  return `${COOKIE}=${token}`;
};

beforeAll(async () => {
  locked = await lockedBundle();
  const { app, panel } = locked;
  member = await cookieOf(panel.reviewers[0]?.seat ?? '', panel.panel);
  const other = await seatedPanel(app);
  stranger = await cookieOf(other.moderator.seat, other.panel);
  const log = { info: () => undefined, error: () => undefined };
  server = createServer(
    httpApp(app, new Tickets(app, new MemoryTickets()), { names: [] }, 'nowhere', log),
  );
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/api/evaluations/${panel.evaluation}`;
});
afterAll(() => void server.close());

const get = (path: string, cookie = member): Promise<Response> =>
  // A line of its own each time: one that idles while a record is made would be closed meanwhile.
  fetch(`${url}${path}`, { headers: { cookie, connection: 'close' } });

test('the printed record of the server is the one that anybody makes of the bundle, byte for byte', async () => {
  const paper = 'letter';
  const response = await get(`/report?paper=${paper}`);
  expect(response.status).toBe(200);
  expect(response.headers.get('content-type')).toBe('application/pdf');
  expect(response.headers.get('content-disposition')).toContain(`-record-${paper}.pdf`);
  const bundle = new Uint8Array(await (await get('/bundle')).arrayBuffer());
  const own = await makeRecord({ form: 'paper', paper, bundle, names: false }, paperFonts);
  expect(Buffer.from(await response.arrayBuffer()).equals(own.bytes ?? Buffer.alloc(0))).toBe(true);
}, 60_000);

test('the record for the screen and the open data come as what they are', async () => {
  const record = (await (await get('/record')).json()) as { format: string; evaluation: string };
  expect(record).toMatchObject({
    format: 'unhindered-record/1',
    evaluation: locked.panel.evaluation,
  });
  const data = await get('/data/ratings.csv');
  expect(data.headers.get('content-type')).toContain('text/csv');
  expect(await data.text()).toMatch(/^evaluation,event,recorded_at,round,/u);
  expect((await get('/data/nothing.csv')).status).toBe(404);
  const odd = await get('/report?paper=a3');
  expect(odd.status).toBe(400);
  expect(await odd.json()).toMatchObject({ error: { message: '"paper" is a4 or letter.' } });
});

test('nobody but members gets any form of it, and a stranger learns nothing of its being there', async () => {
  for (const path of ['/record', '/report', '/data/ratings.csv', '/bundle']) {
    for (const cookie of ['', stranger, `${COOKIE}=nonsense`]) {
      const response = await get(path, cookie);
      expect(response.status, path).toBe(404);
      expect(await response.json()).toMatchObject({ error: { code: 'unknown-thing' } });
    }
  }
});

test('there is no record before the lock', async () => {
  const { app } = locked;
  const open = await seatedPanel(app);
  const cookie = await cookieOf(open.moderator.seat, open.panel);
  const base = url.replace(locked.panel.evaluation, open.evaluation);
  const response = await fetch(`${base}/record`, { headers: { cookie, connection: 'close' } });
  expect(response.status).toBe(409);
});
