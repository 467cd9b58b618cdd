import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { leadInvitation } from '../../../server/src/flows/invite.ts';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import { httpApp } from '../../../server/src/http/app.ts';
import type {
  CardAnswer,
  CatalogueAnswer,
  ComparisonAnswer,
  PublicAnswer,
} from '../../../shared-types/src/index.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { resultOf } from '../../support/seated-panel.ts';

const silent = { info: () => undefined, error: () => undefined };

const serve = async () => {
  const locked = await lockedBundle();
  const { app } = locked;
  const server = createServer(
    httpApp(app, new Tickets(app, new MemoryTickets()), { names: [] }, '/nowhere', silent),
  );
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  const url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/api`;
  const post = (path: string, body: unknown) =>
    fetch(`${url}${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
  const { invitation, secret } = leadInvitation(app);
  await app.store.commit({ invitations: [invitation] });
  const cookie = (await post('/sign-in', { secret })).headers.getSetCookie()[0] ?? '';
  const get = async <T>(path: string, as = cookie): Promise<{ status: number; body: T }> => {
    const response = await fetch(`${url}${path}`, { headers: { cookie: as } });
    return { status: response.status, body: (await response.json()) as T };
  };
  return { ...locked, get, post };
};

test('the catalogue, a comparison and a card answer who is signed in, and nobody else', async () => {
  const { get, panel } = await serve();
  const { evaluation } = panel;
  const paths = [
    '/catalogue',
    `/compare?ids=${evaluation}`,
    `/cards/${evaluation}`,
    `/evaluations/${evaluation}/publication`,
  ];
  for (const path of paths) {
    expect((await get(path, '')).status, path).toBe(401);
    expect((await get(path)).status, path).toBe(200);
  }
  const found = await get<CatalogueAnswer>('/catalogue?q=heron&kind=helmet&sport=');
  expect(found.body).toMatchObject({ total: 1, of: 1, rows: [{ evaluation }] });
  const compared = await get<ComparisonAnswer>(`/compare?ids=${evaluation}`);
  expect(compared.body.evaluations[0]?.worst[0]).toMatchObject({ blocked: false });
  expect((await get<CardAnswer>(`/cards/${evaluation}`)).body.kind).toBe('card');
});

test('a filter that is none is refused by its name, and nothing is guessed', async () => {
  const { get } = await serve();
  for (const [query, place] of [
    ['verdict=fine', 'verdict'],
    ['from=yesterday', 'from'],
    ['page=0', 'page'],
    ['colour=blue', 'colour'],
    ['q=a&q=b', 'q'],
  ]) {
    const answer = await get<{ error: { code: string; message: string } }>(
      `/catalogue?${query ?? ''}`,
    );
    expect(answer.status, query).toBe(400);
    expect(answer.body.error.message).toContain(`"${place ?? ''}"`);
  }
});

test('what is not locked, or is not there, has no card and is not compared', async () => {
  const { get } = await serve();
  expect((await get('/cards/ev_none')).status).toBe(404);
  expect((await get('/compare?ids=ev_none')).status).toBe(404);
  expect((await get('/compare')).status).toBe(400);
  expect((await get('/evaluations/ev_none/publication')).status).toBe(404);
});

test('PU-3: a public link answers without a session; ended it is gone, and a guess finds nothing', async () => {
  const { post, panel } = await serve();
  const { evaluation, moderator } = panel;
  const made = resultOf(
    await panel.onPanel(moderator, {
      type: 'publish-link',
      evaluation,
      what: 'record',
      names: false,
    }),
  );
  if (made.kind !== 'link') throw new Error('no link came');
  const { link, secret } = made;
  const answer = await post('/public/look', { secret });
  expect(answer.status).toBe(200);
  expect(((await answer.json()) as PublicAnswer).kind).toBe('record');
  expect((await post('/public/look', { secret: `${secret.slice(0, -1)}_` })).status).toBe(404);
  expect((await post('/public/look', { secret: 7 })).status).toBe(400);
  await panel.onPanel(moderator, { type: 'end-link', link });
  expect((await post('/public/look', { secret })).status).toBe(410);
});
