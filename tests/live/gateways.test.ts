import { connect } from 'node:net';
import { io, type Socket } from 'socket.io-client';
import { expect, onTestFinished, test } from 'vitest';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import { writeUpdate } from '../../server/src/wire/frames.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { SPECIMEN } from '../support/specimen.ts';

const raw = (url: string, request: string): Promise<string> =>
  new Promise((resolve, reject) => {
    const socket = connect(Number(new URL(url).port), '127.0.0.1', () => socket.write(request));
    let answer = '';
    socket.on('data', (chunk) => (answer += chunk.toString()));
    socket.on('close', () => resolve(answer));
    socket.on('error', reject);
    setTimeout(() => socket.destroy(), 300);
  });

const upgrade = (target: string, more = ''): string =>
  `GET ${target} HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n` +
  `Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n${more}\r\n`;

const isUp = async (url: string): Promise<boolean> => (await fetch(`${url}/healthz`)).ok;

/** Opens a document socket and resolves with its close code. */
const closeCode = (address: string, cookie: string, origin?: string): Promise<number> =>
  new Promise((resolve) => {
    const ws = new WebSocket(address, { headers: { cookie, ...(origin ? { origin } : {}) } });
    ws.on('close', resolve);
    ws.on('error', () => resolve(-1));
  });

const ticketFor = async (client: SeatClient, evaluation: string, document: string) => {
  const ask = { evaluation, document };
  const { body } = await SeatClient.post(client.url, '/tickets', ask, client.cookie);
  return String(body['ticket']);
};

test('RT-1: no request for an upgrade takes the server down', async () => {
  const { url } = await liveServer();
  for (const target of [
    '//',
    'http://[',
    '/sync/',
    '/sync/../../etc',
    '/nothing',
    '/live/?EIO=4&transport=websocket',
    '*',
    '/%',
    '/sync/%ff?ticket=%',
  ]) {
    await raw(url, upgrade(target));
    expect(await isUp(url), target).toBe(true);
  }
  const foreign = await raw(
    url,
    upgrade('/sync/dc_AAAAAAAAAAAAAAAAAAAAAA', 'Origin: http://evil.example\r\n'),
  );
  expect(foreign).toContain('403');
  const rebound = await raw(
    url,
    upgrade('/sync/dc_AAAAAAAAAAAAAAAAAAAAAA').replace('Host: 127.0.0.1', 'Host: evil.example'),
  );
  expect(rebound).toContain('403');
});

test('AC-4: a document socket opens with a fresh ticket of its own session and document only', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = (await p.join('reviewer', 'Ada')).client;
  const ben = (await p.join('reviewer', 'Ben')).client;
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.until('the round', (v) => v.me?.sheets.length === 1);
  const own = ada.view.me?.sheets[0]?.document ?? '';
  const board = ada.view.me?.board ?? '';
  const sync = `${server.url.replace('http', 'ws')}/sync`;
  const at = (document: string, ticket: string): string => `${sync}/${document}?ticket=${ticket}`;
  expect(await closeCode(`${sync}/${own}`, ada.cookie)).toBe(4401);
  expect(await closeCode(at(own, 'made-up'), ada.cookie)).toBe(4401);
  expect(await closeCode(at(own, await ticketFor(ada, p.evaluation, own)), '')).toBe(4401);
  expect(await closeCode(at(own, await ticketFor(ada, p.evaluation, own)), ben.cookie)).toBe(4401);
  expect(await closeCode(at(board, await ticketFor(ada, p.evaluation, own)), ada.cookie)).toBe(
    4401,
  );
  const evil = 'http://evil.example';
  expect(await closeCode(at(own, await ticketFor(ada, p.evaluation, own)), ada.cookie, evil)).toBe(
    -1,
  );
  const once = await ticketFor(ada, p.evaluation, own);
  const good = new WebSocket(at(own, once), { headers: { cookie: ada.cookie } });
  await new Promise((resolve) => good.once('message', resolve));
  expect(await closeCode(at(own, once), ada.cookie)).toBe(4401);
  good.close();
  await expect(
    ticketFor(ada, p.evaluation, ben.view.me?.sheets[0]?.document ?? ''),
  ).rejects.toThrow('unknown-thing');
});

test.each<[string, (own: Y.Doc) => Uint8Array | string, number]>([
  ['a text frame that is no protocol', () => 'hello', 4422],
  ['an unknown message type', () => Uint8Array.of(9, 9, 9), 4422],
  ['half a frame', () => Uint8Array.of(0, 2, 200), 4422],
  ['an update that is no update', () => writeUpdate(Uint8Array.of(1, 2, 3)), 4403],
  [
    'a root that does not exist',
    (doc) => {
      doc.getMap('other').set('a', 1);
      return writeUpdate(Y.encodeStateAsUpdate(doc));
    },
    4403,
  ],
  [
    'a rating off the scale',
    (doc) => {
      doc.getMap('r').set('chest-access/answer', 77);
      return writeUpdate(Y.encodeStateAsUpdate(doc));
    },
    4403,
  ],
  ['more than a frame may hold', () => new Uint8Array(300 * 1024), 1009],
])('SY-1: %s closes that socket alone', async (_what, make, code) => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = (await p.join('reviewer', 'Ada')).client;
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.until('the round', (v) => v.me?.sheets.length === 1);
  const own = ada.view.me?.sheets[0]?.document ?? '';
  const ticket = await ticketFor(ada, p.evaluation, own);
  const address = `${server.url.replace('http', 'ws')}/sync/${own}?ticket=${ticket}`;
  const ws = new WebSocket(address, { headers: { cookie: ada.cookie } });
  await new Promise((resolve) => ws.once('message', resolve));
  ws.send(make(new Y.Doc()));
  expect(await new Promise((resolve) => ws.once('close', resolve))).toBe(code);
  const sheet = await ada.openSheet(1);
  sheet.set('aed-pads', { answer: 1 });
  await sheet.saved();
});

const live = (url: string, headers: Record<string, string>): Socket => {
  const socket = io(url, {
    path: '/live',
    transports: ['websocket'],
    extraHeaders: headers,
    reconnection: false,
    forceNew: true,
  });
  onTestFinished(() => void socket.close());
  return socket;
};

const connects = (socket: Socket): Promise<boolean> =>
  new Promise((resolve) => {
    socket.once('connect', () => resolve(true));
    socket.once('connect_error', () => resolve(false));
  });

test('AC-3: the panel socket opens for a session from our own pages only', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const { cookie } = p.moderator;
  expect(await connects(live(server.url, {}))).toBe(false);
  expect(await connects(live(server.url, { cookie: 'unhindered=made-up' }))).toBe(false);
  expect(await connects(live(server.url, { cookie, origin: 'http://evil.example' }))).toBe(false);
  expect(await connects(live(server.url, { cookie, origin: server.url }))).toBe(true);
  const polling = await fetch(`${server.url}/live/?EIO=4&transport=polling`, {
    headers: { cookie },
  });
  expect(polling.status).toBe(400);
});

test('RT-1: every malformed message is answered with its place, and the socket goes on', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const socket = live(server.url, { cookie: p.moderator.cookie });
  await connects(socket);
  const strange: unknown[] = [
    null,
    undefined,
    7,
    'x',
    [],
    {},
    { on: 'panel' },
    { __proto__: { on: 'home' } },
  ];
  for (const message of strange) {
    for (const name of ['command', 'watch']) {
      const answer: unknown = await socket.emitWithAck(name, message);
      expect(answer).toMatchObject({ ok: false, rejection: { code: 'bad-input' } });
    }
  }
  const nearly = {
    id: 'cm_AAAAAAAAAAAAAAAAAAAAAA',
    clientAt: '2026-03-02T09:00:00.000Z',
    on: 'panel',
    panel: p.panel,
    command: { type: 'invite', role: 'king', label: '', by: 'code', until: null, seat: null },
  };
  expect(await socket.emitWithAck('command', nearly)).toMatchObject({
    ok: false,
    rejection: { code: 'bad-input', detail: { place: 'command.role' } },
  });
  const unacknowledged = new Promise((resolve) => socket.once('refused', resolve));
  socket.emit('command', nearly);
  expect(await unacknowledged).toMatchObject({ code: 'bad-input' });
  const foreign = { on: 'evaluation', evaluation: 'ev_AAAAAAAAAAAAAAAAAAAAAA' };
  expect(await socket.emitWithAck('watch', foreign)).toMatchObject({
    ok: false,
    rejection: { code: 'unknown-thing' },
  });
  expect(await socket.emitWithAck('watch', { on: 'home' })).toMatchObject({ ok: true });
});

test('RT-3: a flood is slowed down and a huge message closes its socket; others notice nothing', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const flood = live(server.url, { cookie: p.moderator.cookie });
  await connects(flood);
  const answers = (await Promise.all(
    Array.from({ length: 200 }, () => flood.emitWithAck('watch', { on: 'home' })),
  )) as { ok: boolean; rejection?: { code: string } }[];
  expect(answers.filter((a) => a.rejection?.code === 'too-many-tries').length).toBeGreaterThan(100);
  const gone = new Promise((resolve) => flood.once('disconnect', resolve));
  flood.emit('command', 'x'.repeat(100_000), () => undefined);
  await gone;
  await p.moderator.onEvaluation({ type: 'present-task', task: 'aed-pads' });
});

test('AC-9: a revoked person is out of both sockets within two seconds, and stays out', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = await p.join('reviewer', 'Ada');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await ada.client.openSheet(1);
  sheet.set('aed-pads', { answer: 1 });
  await sheet.saved();
  const panel = live(server.url, { cookie: ada.client.cookie });
  await connects(panel);
  const told = new Promise((resolve) => panel.once('ended', resolve));
  const disconnected = new Promise((resolve) => panel.once('disconnect', resolve));
  const closed = new Promise<number>((resolve) => {
    sheet.provider.on('closed', ({ code }: { code: number }) => resolve(code));
  });
  const started = performance.now();
  const reason = 'Left the panel.';
  await p.moderator.onPanel(p.panel, { type: 'revoke-seat', seat: ada.seat, reason });
  expect(await told).toEqual({ why: 'revoked' });
  await disconnected;
  expect([4401, 4404]).toContain(await closed);
  expect(performance.now() - started).toBeLessThan(2000);
  expect(await connects(live(server.url, { cookie: ada.client.cookie }))).toBe(false);
  const me = await fetch(`${server.url}/api/me`, { headers: { cookie: ada.client.cookie } });
  expect(await me.json()).toMatchObject({ signedIn: false });
});

test('RT-2: a device that looks at an evaluation gets the newest signed checkpoint, and each later one', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const socket = live(server.url, { cookie: p.moderator.cookie });
  const notes: { of: string; note: string }[] = [];
  socket.on('checkpoint', (message: { of: string; note: string }) => notes.push(message));
  await connects(socket);
  const watched = { on: 'evaluation', evaluation: p.evaluation };
  const answer = (await socket.emitWithAck('watch', watched)) as { witness: { note: string } };
  notes.unshift({ of: p.evaluation, note: answer.witness.note });
  const reason = 'The piece was swapped during the session.';
  await p.moderator.onEvaluation({ type: 'withdraw', reason });
  await expect.poll(() => notes.length).toBe(2);
  const sizes = notes.map((n) => Number(n.note.split('\n')[1]));
  expect(sizes[1]).toBeGreaterThan(sizes[0] ?? Infinity);
  expect(notes[0]?.note).toContain(`unhindered.local/${p.evaluation}\n`);
});

test('RT-11: whoever looks at a ninth thing is told of the last eight, of the panel always, and may come back to the first', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const evaluations = [p.evaluation];
  while (evaluations.length < 8) {
    const made = await p.moderator.onPanel(p.panel, {
      type: 'create-evaluation',
      title: `Heron ${String(evaluations.length)} (invented)`,
      specimen: SPECIMEN,
      protocol: { id: 'emergency-access', version: '1.0.0' },
    });
    if (made?.kind === 'evaluation') evaluations.push(made.evaluation);
  }
  const socket = live(server.url, { cookie: p.moderator.cookie });
  const heard: string[] = [];
  socket.on('slices', ({ of }: { of: string }) => heard.push(of));
  await connects(socket);
  const ask = (evaluation: string) => socket.emitWithAck('watch', { on: 'evaluation', evaluation });
  const onPanel = { on: 'panel', panel: p.panel };
  expect(await socket.emitWithAck('watch', onPanel)).toMatchObject({ ok: true });
  for (const evaluation of evaluations) expect(await ask(evaluation)).toMatchObject({ ok: true });
  const withdraw = async (evaluation: string): Promise<void> => {
    const reason = 'The piece was swapped during the session.';
    await p.moderator.must({
      on: 'evaluation',
      evaluation,
      command: { type: 'withdraw', reason },
    });
  };
  const [first = '', second = '', third = ''] = evaluations;
  await withdraw(first);
  await withdraw(second);
  await expect.poll(() => heard).toContain(second);
  expect(heard).not.toContain(first);
  expect(await ask(first)).toMatchObject({ ok: true, slices: { head: { stage: 'withdrawn' } } });
  // The second is the one that was asked for longest ago now.
  heard.length = 0;
  await withdraw(third);
  await expect.poll(() => heard).toContain(third);
  // A stop reaches who has looked at much since.
  heard.length = 0;
  await p.moderator.onPanel(p.panel, { type: 'stop-everyone', reason: null });
  await expect.poll(() => heard).toContain(p.panel);
});
