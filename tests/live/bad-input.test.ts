import { connect } from 'node:net';
import { io } from 'socket.io-client';
import { expect, onTestFinished, test } from 'vitest';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';

test('TX-3: a body that is not UTF-8 is refused, and nobody sits down under replacement characters', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const { secret } = await p.invite('observer', 'link');
  const body = (name: Buffer): Buffer =>
    Buffer.concat([
      Buffer.from(`{"key":{"secret":"${secret}"},"name":"Zo`),
      name,
      Buffer.from('"}'),
    ]);
  const take = (name: Buffer): Promise<Response> =>
    fetch(`${server.url}/api/invitations/use`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: new Uint8Array(body(name)),
    });
  const latin1 = await take(Buffer.of(0xe9));
  expect(latin1.status).toBe(400);
  expect(await latin1.json()).toMatchObject({ error: { code: 'bad-input' } });
  expect((await take(Buffer.from('é'))).status).toBe(200);
});

test('RT-4: a command that asks for no answer is not carried out', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const reason = 'The piece was swapped during the session.';
  const withdraw = { type: 'withdraw' as const, reason };
  const socket = io(server.url, {
    path: '/live',
    transports: ['websocket'],
    extraHeaders: { cookie: p.moderator.cookie },
    forceNew: true,
  });
  onTestFinished(() => void socket.close());
  await new Promise((resolve) => socket.once('connect', () => resolve(true)));
  const refused = new Promise((resolve) => socket.once('refused', resolve));
  socket.emit('command', {
    id: 'cm_AAAAAAAAAAAAAAAAAAAAAA',
    clientAt: '2026-03-02T09:00:00.000Z',
    on: 'evaluation',
    evaluation: p.evaluation,
    command: withdraw,
  });
  expect(await refused).toMatchObject({ code: 'bad-input' });
  // Were it withdrawn already, this would be refused.
  await p.moderator.onEvaluation(withdraw);
  await p.moderator.until('the end', (v) => v.head?.stage === 'withdrawn');
});

test('RT-5: a connection that says nothing is let go after ten seconds, with words', async () => {
  const server = await liveServer();
  const socket = connect(Number(new URL(server.url).port), '127.0.0.1');
  let said = '';
  socket.on('data', (chunk: Buffer) => (said += chunk.toString()));
  await new Promise((resolve) => socket.once('close', resolve));
  expect(said).toContain('408 Request Timeout');
  expect(said).toContain('"bad-input"');
});

test('RT-8: an upgrade that nobody takes is answered at once, however it begins', async () => {
  const server = await liveServer();
  const port = Number(new URL(server.url).port);
  for (const path of ['/livexyz', '/live', '/live?EIO=4&transport=websocket', '/elsewhere', '*']) {
    const socket = connect(port, '127.0.0.1');
    onTestFinished(() => void socket.destroy());
    let said = '';
    socket.on('data', (chunk: Buffer) => (said += chunk.toString()));
    const closed = new Promise((resolve) => socket.once('close', resolve));
    socket.write(
      `GET ${path} HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n` +
        'Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n',
    );
    await closed;
    expect(said, path).toMatch(/^HTTP\/1\.1 40[04]/u);
  }
});

test('RT-9: an address that hoards connections is cut short, and everybody else comes in', async () => {
  const server = await liveServer();
  const port = Number(new URL(server.url).port);
  let turnedAway = 0;
  const hoard = Array.from({ length: 1300 }, () => {
    const socket = connect({ port, host: '127.0.0.1', localAddress: '127.0.0.2' });
    socket.on('error', () => undefined);
    socket.once('close', () => turnedAway++);
    socket.write('GET / HTTP/1.1\r\nX-');
    return socket;
  });
  onTestFinished(() => {
    for (const socket of hoard) socket.destroy();
  });
  const until = Date.now() + 8000;
  while (turnedAway < 300 && Date.now() < until) {
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  expect(turnedAway).toBeGreaterThanOrEqual(300);
  expect((await fetch(`${server.url}/healthz`)).status).toBe(200);
});

test('RT-10: who never reads why the line is cut is cut all the same', async () => {
  const server = await liveServer();
  const port = Number(new URL(server.url).port);
  const upgrade = 'Connection: Upgrade\r\nUpgrade: websocket\r\n\r\n';
  for (const [text, most] of [
    ['no request at all\r\n\r\n', 5000],
    [`GET /elsewhere HTTP/1.1\r\nHost: 127.0.0.1\r\n${upgrade}`, 5000],
    [`GET /sync/x HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: http://evil.example\r\n${upgrade}`, 5000],
  ] as const) {
    const at = Date.now();
    // Half open: it does not close when the server does, and keeps on writing.
    const socket = connect({ port, host: '127.0.0.1', allowHalfOpen: true });
    onTestFinished(() => void socket.destroy());
    const cut = new Promise<number>((resolve) => {
      socket.once('error', () => resolve(Date.now() - at));
    });
    socket.write(text);
    socket.pause();
    const writing = setInterval(() => socket.write('x'), 100);
    onTestFinished(() => clearInterval(writing));
    expect(await cut, text).toBeLessThan(most);
    clearInterval(writing);
  }
});
