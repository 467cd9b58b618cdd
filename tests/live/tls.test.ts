import { spawn, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { createServer, request as httpsRequest } from 'node:https';
import { connect, createServer as createNetServer, type AddressInfo } from 'node:net';
import { request as httpRequest } from 'node:http';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { WebSocket } from 'ws';
import { startServer } from '../../server/src/cli/compose.ts';
import { readConfig } from '../../server/src/cli/config.ts';
import { UsageError } from '../../server/src/cli/read-flags.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const noOpenssl = spawnSync('openssl', ['version']).status !== 0;
const NAME = 'lab.example';

/** A certificate of our own for the name, as the recipe says. */
const certificate = (): { cert: string; key: string } => {
  const folder = temporaryDirectory();
  const [cert, key] = [join(folder, 'fullchain.pem'), join(folder, 'key.pem')];
  const made = spawnSync('openssl', [
    ...[
      'req',
      '-x509',
      '-newkey',
      'rsa:2048',
      '-nodes',
      '-days',
      '2',
      '-keyout',
      key,
      '-out',
      cert,
    ],
    ...['-subj', `/CN=${NAME}`, '-addext', `subjectAltName=DNS:${NAME}`],
  ]);
  expect(made.status, made.stderr.toString()).toBe(0);
  return { cert, key };
};

const served = async (more: readonly string[]) => {
  const directory = temporaryDirectory();
  const flags = ['--port', '0', '--data-dir', directory, '--log-level', 'error', '--name', NAME];
  const running = await startServer(readConfig([...flags, ...more], {}), directory);
  onTestFinished(() => running.close());
  return { port: Number(new URL(running.url).port), secret: running.signInLink?.split('#')[1] };
};

/** A browser at https://lab.example, whose device trusts the certificate. */
const visitor = (port: number, certFile: string, from = '127.0.0.1') => {
  const at = { host: '127.0.0.1', port, ca: readFileSync(certFile), servername: NAME };
  const headers = { host: NAME, origin: `https://${NAME}`, 'content-type': 'application/json' };
  const post = (path: string, body: object) =>
    new Promise<{ status: number; cookie: string; text: string }>((resolve, reject) => {
      const asked = httpsRequest(
        { ...at, localAddress: from, method: 'POST', path: `/api${path}`, headers },
        (response) => {
          let text = '';
          response.on('data', (chunk: Buffer) => (text += chunk.toString()));
          response.on('end', () =>
            resolve({
              status: response.statusCode ?? 0,
              cookie: response.headers['set-cookie']?.[0] ?? '',
              text,
            }),
          );
        },
      );
      asked.on('error', reject);
      asked.end(JSON.stringify(body));
    });
  const opens = (cookie: string): Promise<boolean> =>
    new Promise((resolve) => {
      const ws = new WebSocket(`wss://127.0.0.1:${String(port)}/live/?EIO=4&transport=websocket`, {
        ...at,
        headers: { host: NAME, origin: `https://${NAME}`, cookie: cookie.split(';')[0] ?? '' },
      });
      ws.once('message', () => {
        ws.close();
        resolve(true);
      });
      ws.once('error', () => resolve(false));
    });
  return { post, opens };
};

/** A reverse proxy as the recipe asks for: TLS, the Host kept, the source said, upgrades passed. */
const proxy = async (to: number, { cert, key }: { cert: string; key: string }): Promise<number> => {
  const server = createServer({ cert: readFileSync(cert), key: readFileSync(key) });
  server.on('request', (request, response) => {
    const headers = { ...request.headers, 'x-forwarded-for': request.socket.remoteAddress ?? '' };
    const { method, url: path } = request;
    const passed = httpRequest({ host: '127.0.0.1', port: to, method, path, headers }, (answer) => {
      response.writeHead(answer.statusCode ?? 502, answer.headers);
      answer.pipe(response);
    });
    request.pipe(passed);
  });
  server.on('upgrade', (request, socket) => {
    const inner = connect(to, '127.0.0.1', () => {
      const head = Object.entries(request.headers).map(([k, v]) => `${k}: ${String(v)}`);
      inner.write([`GET ${request.url ?? '/'} HTTP/1.1`, ...head, '', ''].join('\r\n'));
      inner.pipe(socket).pipe(inner);
    });
    inner.on('error', () => socket.destroy());
    socket.on('error', () => inner.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  return (server.address() as AddressInfo).port;
};

const GUESS = { key: { code: 'AAAA-AAAA' } };

describe.skipIf(noOpenssl)('the recipes for TLS', () => {
  test('AC-12: with its own certificate the cookie travels over TLS only, and sockets open', async () => {
    const files = certificate();
    const server = await served(['--tls-cert', files.cert, '--tls-key', files.key]);
    const { post, opens } = visitor(server.port, files.cert);
    const signedIn = await post('/sign-in', { secret: server.secret });
    expect(signedIn.status, signedIn.text).toBe(200);
    expect(signedIn.cookie).toMatch(/; Secure/u);
    expect(await opens(signedIn.cookie)).toBe(true);
    expect(await opens('')).toBe(false);
  });

  test('AC-20: behind a proxy too, and one guesser there shuts nobody else out', async () => {
    const files = certificate();
    const server = await served(['--proxy']);
    const port = await proxy(server.port, files);
    const eve = visitor(port, files.cert, '127.0.0.2');
    for (let i = 0; i < 5; i++)
      expect((await eve.post('/invitations/look', GUESS)).status).toBe(404);
    expect((await eve.post('/invitations/look', GUESS)).status).toBe(429);
    const ada = visitor(port, files.cert);
    expect((await ada.post('/invitations/look', GUESS)).status).toBe(404);
    const signedIn = await ada.post('/sign-in', { secret: server.secret });
    expect(signedIn.cookie).toMatch(/; Secure/u);
    expect(await ada.opens(signedIn.cookie)).toBe(true);
  });
});

test('AC-20: without --proxy nobody’s word is taken for where they come from', async () => {
  const server = await served([]);
  const look = async (said: string): Promise<number> => {
    const response = await fetch(`http://127.0.0.1:${String(server.port)}/api/invitations/look`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-forwarded-for': said },
      body: JSON.stringify(GUESS),
    });
    return response.status;
  };
  for (let i = 0; i < 5; i++) expect(await look(`10.0.0.${String(i)}`)).toBe(404);
  expect(await look('10.0.0.9')).toBe(429);
});

test.each([
  ['an address that others reach', ['--proxy', '--host', '0.0.0.0']],
  ['a certificate of its own', ['--proxy', '--tls-cert', 'a', '--tls-key', 'b']],
])('--proxy does not go with %s', (_what, flags) => {
  expect(() => readConfig(flags, {})).toThrow(UsageError);
});

/** The proxy's configuration as the README prints it, on ports and files of this test. */
const recipe = (port: number, to: number, { cert, key }: { cert: string; key: string }): string => {
  const readme = readFileSync(join(import.meta.dirname, '../../README.md'), 'utf8');
  const server = /```\n(server \{[^]*?\n\})\n```/u.exec(readme)?.[1] ?? '';
  return server
    .replace('listen 443', `listen 127.0.0.1:${String(port)}`)
    .replace('http://127.0.0.1:4780', `http://127.0.0.1:${String(to)}`)
    .replace('/etc/ssl/lab/fullchain.pem', cert)
    .replace('/etc/ssl/lab/key.pem', key);
};

const freePort = async (): Promise<number> => {
  const server = createNetServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
};

const noNginx = spawnSync('nginx', ['-v']).status !== 0;

test.skipIf(noNginx || noOpenssl)(
  'AC-20: the proxy’s configuration in the README works as printed',
  async () => {
    const files = certificate();
    const server = await served(['--proxy']);
    const port = await freePort();
    const folder = temporaryDirectory();
    const conf = join(folder, 'nginx.conf');
    const block = recipe(port, server.port, files);
    expect(block).toContain('proxy_set_header X-Forwarded-For $remote_addr;');
    writeFileSync(
      conf,
      `daemon off; pid ${folder}/pid; error_log stderr; events {} http { access_log off;\n` +
        `client_body_temp_path ${folder}/b; proxy_temp_path ${folder}/p; fastcgi_temp_path ${folder}/f;\n` +
        `uwsgi_temp_path ${folder}/u; scgi_temp_path ${folder}/s;\n${block}\n}\n`,
    );
    const nginx = spawn('nginx', ['-p', folder, '-c', conf], { stdio: 'ignore' });
    onTestFinished(() => void nginx.kill());
    const ada = visitor(port, files.cert);
    const up = async (): Promise<number> => {
      try {
        return (await ada.post('/sign-out', {})).status;
      } catch {
        return 0;
      }
    };
    await expect.poll(up, { timeout: 20_000 }).toBe(200);
    const eve = visitor(port, files.cert, '127.0.0.2');
    for (let i = 0; i < 6; i++) await eve.post('/invitations/look', GUESS);
    expect((await eve.post('/invitations/look', GUESS)).status).toBe(429);
    expect((await ada.post('/invitations/look', GUESS)).status).toBe(404);
    const signedIn = await ada.post('/sign-in', { secret: server.secret });
    expect(signedIn.cookie).toMatch(/; Secure/u);
    expect(await ada.opens(signedIn.cookie)).toBe(true);
  },
);
