import { createServer, request as httpRequest } from 'node:http';
import type { AddressInfo } from 'node:net';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import { leadInvitation } from '../../../server/src/flows/invite.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import { httpApp } from '../../../server/src/http/app.ts';
import { accepted, resultOf, seatedPanel } from '../../support/seated-panel.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';
import { testApp } from '../../support/test-app.ts';

const errors: unknown[] = [];

const serve = async () => {
  const web = temporaryDirectory();
  for (const language of ['de', 'en']) {
    mkdirSync(join(web, language, 'assets'), { recursive: true });
    writeFileSync(
      join(web, language, 'index.html'),
      `<!doctype html><title>Shell ${language}</title>`,
    );
    writeFileSync(join(web, language, 'precache.json'), `"${language}"`);
  }
  writeFileSync(join(web, 'en', 'assets', 'app-1234.js'), 'export {}');
  writeFileSync(join(web, 'en', 'assets', 'app-1234.js.br'), 'compressed twin');
  const test = testApp();
  const log = { info: () => undefined, error: (_: string, e: unknown) => errors.push(e) };
  const tickets = new Tickets(test.app, new MemoryTickets());
  const server = createServer(httpApp(test.app, tickets, { names: [] }, web, log));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  const url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
  const post = (path: string, body: unknown, headers: Record<string, string> = {}) =>
    fetch(`${url}/api${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...headers },
      body: typeof body === 'string' ? body : JSON.stringify(body),
    });
  return { ...test, url, post };
};

const signIn = async (s: Awaited<ReturnType<typeof serve>>): Promise<string> => {
  const { invitation, secret } = leadInvitation(s.app);
  await s.app.store.commit({ invitations: [invitation] });
  const response = await s.post('/sign-in', { secret });
  expect(response.status).toBe(200);
  return response.headers.getSetCookie()[0] ?? '';
};

test('AC-11: every answer carries the headers that keep a page of ours to itself', async () => {
  const { url } = await serve();
  for (const path of ['/', '/api/me', '/healthz', '/api/nothing', '/assets/app-1234.js']) {
    const { headers } = await fetch(`${url}${path}`);
    expect(headers.get('content-security-policy'), path).toBe(
      "default-src 'none';script-src 'self';style-src 'self';img-src 'self' data: blob:;media-src 'self' blob:;font-src 'self';" +
        "connect-src 'self';manifest-src 'self';worker-src 'self';base-uri 'none';form-action 'none';" +
        "frame-ancestors 'none';object-src 'none'",
    );
    expect(headers.get('x-content-type-options'), path).toBe('nosniff');
    expect(headers.get('referrer-policy'), path).toBe('no-referrer');
    expect(headers.get('cross-origin-opener-policy'), path).toBe('same-origin');
    expect(headers.get('cross-origin-resource-policy'), path).toBe('same-origin');
    expect(headers.get('x-powered-by'), path).toBeNull();
    expect(headers.get('strict-transport-security'), path).toBeNull();
    if (path.startsWith('/api')) expect(headers.get('cache-control'), path).toBe('no-store');
  }
});

test('the shell answers every address of the app, hashed files stay cached, compressed twins are used', async () => {
  const { url } = await serve();
  const shell = await fetch(`${url}/evaluations/ev_1/desk`);
  expect(await shell.text()).toContain('Shell');
  expect(shell.headers.get('cache-control')).toBe('no-cache');
  const asset = await fetch(`${url}/assets/app-1234.js`, {
    headers: { 'accept-encoding': 'gzip' },
  });
  expect(asset.headers.get('cache-control')).toContain('immutable');
  const raw = await new Promise<string | undefined>((resolve) => {
    const headers = { 'accept-encoding': 'br' };
    httpRequest(`${url}/assets/app-1234.js`, { headers }, (r) => {
      r.resume();
      resolve(r.headers['content-encoding']);
    }).end();
  });
  expect(raw).toBe('br');
  const missing = await fetch(`${url}/assets/none.js`);
  expect(missing.status).toBe(404);
});

test.each([
  ['no wish', {}, 'en'],
  ['German first', { 'accept-language': 'de-AT,de;q=0.9,en;q=0.8' }, 'de'],
  ['a language we lack, then German', { 'accept-language': 'fr,de;q=0.7,en;q=0.3' }, 'de'],
  ['only languages we lack', { 'accept-language': 'fr,it' }, 'en'],
  ['a choice against the browser', { 'accept-language': 'de', cookie: 'a=b; language=en' }, 'en'],
  ['a choice we do not have', { 'accept-language': 'de', cookie: 'language=xx' }, 'de'],
  ['a choice that is no language', { cookie: 'language=../../etc' }, 'en'],
])(
  'WD-2: the shell comes in the language chosen here, else in one the browser asks for: %s',
  async (_what, headers, language) => {
    const { url } = await serve();
    for (const path of ['/', '/evaluation/ev_1/desk']) {
      const shell = await fetch(`${url}${path}`, { headers });
      expect(await shell.text()).toContain(`Shell ${language}`);
      expect(shell.headers.get('vary')).toBe('Accept-Encoding, Accept-Language, Cookie');
      expect(shell.headers.get('etag')).toBeNull();
    }
    expect(await (await fetch(`${url}/precache.json?x`, { headers })).json()).toBe(language);
    // A page still open in the other language finds its files.
    expect((await fetch(`${url}/assets/app-1234.js`, { headers })).status).toBe(200);
  },
);

test('AC-6: only exact JSON from our own pages changes anything', async () => {
  const s = await serve();
  const body = { key: { code: 'ABCD-EFGH' } };
  const look = (headers: Record<string, string>) => s.post('/invitations/look', body, headers);
  expect((await look({ origin: 'http://evil.example' })).status).toBe(403);
  expect((await look({ 'sec-fetch-site': 'cross-site' })).status).toBe(403);
  for (const type of [
    'text/plain',
    'application/json; charset=utf-7',
    'application/x-www-form-urlencoded',
  ]) {
    const response = await look({ 'content-type': type });
    expect(response.status, type).toBe(400);
    expect(await response.json(), type).toMatchObject({ error: { code: 'bad-input' } });
  }
  expect((await look({ origin: s.url })).status).toBe(404);
});

test.each<[string, string]>([
  ['no JSON', '{'],
  ['a list', '[]'],
  ['a field too many', '{"key":{"code":"x"},"more":1}'],
  ['a wrong type', '{"key":{"code":7}}'],
  ['no field', '{}'],
  ['null', 'null'],
  ['a prototype', '{"key":{"code":"x"},"__proto__":{"admin":true}}'],
  ['very deep', `{"key":${'['.repeat(5000)}${']'.repeat(5000)}}`],
  ['very large', JSON.stringify({ key: { code: 'x'.repeat(70_000) } })],
])('a body that is %s is refused in JSON, and the server stays up', async (_what, body) => {
  const s = await serve();
  const response = await s.post('/invitations/look', body);
  expect(response.status).toBeGreaterThanOrEqual(400);
  expect(response.status).toBeLessThan(500);
  const answer = (await response.json()) as { error: { code: string; message: string } };
  expect(answer.error.code).toBe('bad-input');
  expect(JSON.stringify(answer)).not.toMatch(/node_modules|at .*\.js/u);
  expect((await fetch(`${s.url}/healthz`)).status).toBe(200);
});

test('AC-2: a request for another host name is refused', async () => {
  const { url } = await serve();
  const status = await new Promise<number | undefined>((resolve) => {
    httpRequest(`${url}/api/me`, { headers: { host: 'evil.example' } }, (r) => {
      r.resume();
      resolve(r.statusCode);
    }).end();
  });
  expect(status).toBe(403);
});

test('AC-12: the session cookie is out of reach of scripts and other sites, and is kept as a hash', async () => {
  const s = await serve();
  const cookie = await signIn(s);
  expect(cookie).toMatch(/^unhindered=[A-Za-z0-9_-]+; /u);
  expect(cookie).toContain('HttpOnly');
  expect(cookie).toContain('SameSite=Strict');
  expect(cookie).toContain('Path=/');
  expect(cookie).not.toContain('Secure');
  const me = await fetch(`${s.url}/api/me`, { headers: { cookie: cookie.split(';')[0] ?? '' } });
  expect(await me.json()).toMatchObject({ signedIn: true, lead: true, encrypted: true });
  const stranger = await fetch(`${s.url}/api/me`);
  expect(await stranger.json()).toMatchObject({ signedIn: false, lead: false, seats: [] });
  s.app.transport = 'tls';
  expect(await signIn(s)).toContain('Secure');
});

test('signing out ends the session on the server, not only the cookie', async () => {
  const s = await serve();
  const cookie = (await signIn(s)).split(';')[0] ?? '';
  expect((await s.post('/sign-out', {}, { cookie })).status).toBe(200);
  const me = await fetch(`${s.url}/api/me`, { headers: { cookie } });
  expect(await me.json()).toMatchObject({ signedIn: false });
});

test('AC-5: the sixth wrong code within a minute is answered by how long to wait', async () => {
  const s = await serve();
  const p = await seatedPanel(s.app, 1);
  const guess = (code: string) => s.post('/invitations/use', { key: { code }, name: 'Eve' });
  for (let i = 0; i < 5; i++) expect((await guess(`AAAA-AAA${String(i + 2)}`)).status).toBe(404);
  const sixth = await guess('AAAA-AAAA');
  expect(sixth.status).toBe(429);
  expect(await sixth.json()).toMatchObject({ error: { code: 'too-many-tries' } });
  const invite = { type: 'invite', role: 'observer', label: '', by: 'link', until: null } as const;
  const made = resultOf(await p.onPanel(p.moderator, { ...invite, seat: null }));
  const secret = made.kind === 'invitation' ? made.secret : '';
  const byLink = await s.post('/invitations/use', { key: { secret }, name: 'Olu' });
  expect(byLink.status).toBe(200);
});

test('AC-10: a ticket for a sheet of somebody else answers like one for nothing', async () => {
  const s = await serve();
  const p = await seatedPanel(s.app, 2);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const { state } = await p.live();
  const [own, other] = p.reviewers.map((r) => state.rounds[0]?.sheets.get(r.seat) ?? '');
  const invite = { type: 'invite', role: 'reviewer', label: '', by: 'link', until: null } as const;
  const again = { ...invite, seat: p.reviewers[0]?.seat ?? '' };
  const made = resultOf(await p.onPanel(p.moderator, again));
  const secret = made.kind === 'invitation' ? made.secret : '';
  const joined = await s.post('/invitations/use', { key: { secret }, name: '' });
  const cookie = joined.headers.getSetCookie()[0]?.split(';')[0] ?? '';
  const ticket = (document: string | undefined, evaluation = p.evaluation) =>
    s.post('/tickets', { evaluation, document }, { cookie });
  expect((await ticket(own)).status).toBe(200);
  const answers = await Promise.all(
    [
      ticket(other),
      ticket('dc_AAAAAAAAAAAAAAAAAAAAAA'),
      ticket(own, 'ev_AAAAAAAAAAAAAAAAAAAAAA'),
    ].map(async (r) => (await r).text()),
  );
  expect(new Set(answers).size).toBe(1);
  expect((await s.post('/tickets', { evaluation: p.evaluation, document: own })).status).toBe(401);
});

test('there is no bundle before the lock, and none for strangers', async () => {
  const s = await serve();
  const p = await seatedPanel(s.app, 1);
  const bundle = (cookie = '') =>
    fetch(`${s.url}/api/evaluations/${p.evaluation}/bundle`, { headers: { cookie } });
  expect((await bundle()).status).toBe(404);
  const early = await bundle((await signIn(s)).split(';')[0]);
  expect(early.status).toBe(409);
  expect(await early.json()).toMatchObject({ error: { code: 'not-ready-to-lock' } });
});

test('a protocol version is given to whoever is signed in, as its exact text', async () => {
  const s = await serve();
  const cookie = (await signIn(s)).split(';')[0] ?? '';
  const path = `${s.url}/api/protocols/emergency-access/1.0.0`;
  expect((await fetch(path)).status).toBe(401);
  const response = await fetch(path, { headers: { cookie } });
  expect(await response.text()).toBe([...s.app.protocols.values()][0]?.text);
  expect((await fetch(`${path}0`, { headers: { cookie } })).status).toBe(404);
  const sizes: number[] = [];
  for (const encoding of ['gzip', 'identity']) {
    const headers = { cookie, 'accept-encoding': encoding };
    const packed = await fetch(path, { headers });
    expect(packed.headers.get('content-encoding')).toBe(encoding === 'gzip' ? 'gzip' : null);
    expect(packed.headers.get('vary')).toBe('Accept-Encoding');
    sizes.push(Number(packed.headers.get('content-length')));
    expect(await packed.text()).toBe([...s.app.protocols.values()][0]?.text);
  }
  expect(sizes[0]).toBeLessThan((sizes[1] ?? 0) / 3);
});

test('a fault inside is answered in JSON without a trace, and logged', async () => {
  const s = await serve();
  s.app.store.session = () => Promise.reject(new Error('the disk is gone'));
  const response = await fetch(`${s.url}/api/me`, { headers: { cookie: 'unhindered=x' } });
  expect(response.status).toBe(503);
  expect(await response.text()).not.toContain('disk');
  expect(errors.at(-1)).toMatchObject({ message: 'the disk is gone' });
});

test('healthz says whether anything can be kept', async () => {
  const s = await serve();
  expect(await (await fetch(`${s.url}/healthz`)).json()).toEqual({ ok: true, readOnly: null });
  s.app.store.fault = () => 'The disk failed.';
  const response = await fetch(`${s.url}/healthz`);
  expect(response.status).toBe(503);
  expect(await response.json()).toEqual({ ok: false, readOnly: 'The disk failed.' });
});

test('AC-21: a passphrase is set by the lead alone, and guessing it is stopped', async () => {
  const s = await serve();
  const words = 'otter gravel lantern';
  expect((await s.post('/passphrase', { passphrase: words })).status).toBe(401);
  const cookie = (await signIn(s)).split(';')[0] ?? '';
  expect((await s.post('/passphrase', { passphrase: 'too short' }, { cookie })).status).toBe(400);
  expect((await s.post('/passphrase', { passphrase: words }, { cookie })).status).toBe(200);
  const me = await fetch(`${s.url}/api/me`, { headers: { cookie } });
  expect(await me.json()).toMatchObject({ lead: true, passphrase: true });

  const attempt = (passphrase: string, organisation = '') =>
    s.post('/sign-in', { organisation, passphrase });
  const good = await attempt(words);
  expect(good.status).toBe(200);
  expect(good.headers.getSetCookie()[0]).toMatch(/HttpOnly.*SameSite=Strict/u);
  const [wrong, nobody] = [await attempt(`${words}.`), await attempt(words, 'Elsewhere')];
  expect([wrong.status, nobody.status]).toEqual([404, 404]);
  expect(await wrong.text()).toBe(await nobody.text());
  for (let i = 0; i < 3; i++) expect((await attempt(`${words}${String(i)}`)).status).toBe(404);
  // Even the right one, until the minute is over; and typed codes are open all the while.
  expect((await attempt(words)).status).toBe(429);
  const look = await s.post('/invitations/look', { key: { code: 'ABCD-EFGH' } });
  expect(look.status).toBe(404);
});
