import { spawn, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { join } from 'node:path';
import { freshDirectory, removeDirectory } from './program.ts';

/** The balancer that the container files bring along, with its addresses put in and TLS left out. */
const CONFIG = join(import.meta.dirname, '../../server/container/haproxy.cfg');

export const noHaproxy = spawnSync('haproxy', ['-v']).status !== 0;
if (noHaproxy && process.env['REQUIRE_SERVICES'] === '1') throw new Error('HAProxy is required.');

/** A port that was free a moment ago. */
export const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const server = createServer();
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address() as AddressInfo;
      server.close(() => resolve(port));
    });
  });

/** Starts it in front of servers on these ports of this machine. */
export const startBalancer = async (
  ports: readonly number[],
): Promise<{ url: string; pid: number; stop: () => void }> => {
  const port = await freePort();
  const names = ['one', 'two', 'three'];
  const text = readFileSync(CONFIG, 'utf8')
    .replace('bind :443 ssl crt /etc/haproxy/lab.pem', `bind 127.0.0.1:${String(port)}`)
    .replace(' httponly secure', ' httponly')
    .replace(/ {2}server (\w+) \w+:4780 cookie \w+\n/gu, (_line, name: string) => {
      const at = ports[names.indexOf(name)];
      return at === undefined ? '' : `  server ${name} 127.0.0.1:${String(at)} cookie ${name}\n`;
    });
  const directory = freshDirectory();
  const file = join(directory, 'haproxy.cfg');
  writeFileSync(file, text);
  const child = spawn('haproxy', ['-q', '-db', '-f', file], {
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  const stop = (): void => {
    child.kill('SIGKILL');
    removeDirectory(directory);
  };
  const url = `http://127.0.0.1:${String(port)}`;
  for (let tries = 0; ; tries++) {
    const response = await fetch(`${url}/readyz`).catch(() => undefined);
    if (response?.ok === true) return { url, pid: child.pid ?? 0, stop };
    if (tries > 100 || child.exitCode !== null) throw new Error('the balancer does not answer');
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
};
