import { spawn, type ChildProcess } from 'node:child_process';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { freePort } from '../../support/balancer.ts';

/** Whose wire format a server speaks: y-websocket's (ours and the stock server), or Hocuspocus's own. */
export type Wire = 'ours' | 'yws' | 'hocuspocus';

/** What a server has used and holds: processor microseconds, and bytes. */
export interface Use {
  cpu: number;
  heap: number;
  rss: number;
}

/** A server in a process of its own. */
export interface Contestant {
  wire: Wire;
  /** `http://…` */
  url: string;
  /** The lead's way in on a new store; null elsewhere. */
  signInLink: string | null;
  process: ChildProcess;
  /** What it used so far; with `collect` after garbage was collected. */
  use: (collect?: boolean) => Promise<Use>;
  stop: () => Promise<void>;
}

const PROBE = join(import.meta.dirname, 'probe.mjs');
/** `BENCH_ROOT` is another clone of the project, to measure an older version with the same load. */
const PROGRAM = join(
  process.env['BENCH_ROOT'] ?? join(import.meta.dirname, '../../..'),
  'server/bin/unhindered.js',
);
/** The core a measured server has to itself, as far as the machine lets it; the clients run on another one. */
export const SERVER_CORE = '0';
export const CLIENT_CORE = '1';
export const ALL_CORES = `0-${String(cpus().length - 1)}`;

const lineOf = (child: ChildProcess): Promise<string> =>
  new Promise((resolve, reject) => {
    let text = '';
    child.stdout?.on('data', (chunk: Buffer) => {
      text += chunk.toString();
      if (text.includes('\n')) resolve(text);
    });
    child.once('exit', (code) => reject(new Error(`a server ended with ${String(code)}`)));
  });

const ask = (child: ChildProcess, question: string): Promise<Use> =>
  new Promise((resolve, reject) => {
    child.once('message', (answer) => resolve(answer as Use));
    child.once('exit', () => reject(new Error('the server is gone')));
    child.send(question);
  });

interface Launch {
  script: string;
  args?: readonly string[];
  environment?: NodeJS.ProcessEnv;
  /** Further arguments of node, such as --cpu-prof. */
  node?: readonly string[];
  /** Core to be pinned to; null for whichever the machine gives. */
  core?: string | null;
}

const launch = async ({
  script,
  args = [],
  environment = {},
  node = [],
  core = SERVER_CORE,
}: Launch) => {
  // What is started here would otherwise be kept to the clients' core.
  const pin = ['taskset', '-c', core ?? ALL_CORES];
  const command = [
    ...pin,
    process.execPath,
    '--expose-gc',
    '--import',
    PROBE,
    ...node,
    script,
    ...args,
  ];
  const child = spawn(command[0] ?? '', command.slice(1), {
    stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
    env: { ...process.env, ...environment, NODE_ENV: 'production' },
  });
  child.setMaxListeners(0);
  const line = await lineOf(child);
  return {
    line,
    process: child,
    use: (collect = false) => ask(child, collect ? 'collect' : 'use'),
    stop: async () => {
      if (child.exitCode !== null || child.signalCode !== null) return;
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGTERM');
      const late = setTimeout(() => child.kill('SIGKILL'), 15_000);
      await ended;
      clearTimeout(late);
    },
  };
};

/** How our own server is started, beyond its data directory. */
export interface OwnOptions {
  port?: number;
  environment?: NodeJS.ProcessEnv;
  flags?: readonly string[];
  node?: readonly string[];
  core?: string | null;
}

/** The program as people start it, on a data directory. */
export const startOurs = async (
  directory: string,
  { port = 0, environment = {}, flags = [], node = [], core = SERVER_CORE }: OwnOptions = {},
): Promise<Contestant> => {
  const args = [
    'serve',
    '--port',
    String(port),
    '--data-dir',
    directory,
    '--log-level',
    'error',
    ...flags,
  ];
  const { line, ...server } = await launch({
    script: PROGRAM,
    args,
    environment,
    node,
    core,
  });
  const url = /ready at (\S+)/u.exec(line)?.[1];
  if (url === undefined) throw new Error(`no address in: ${line}`);
  const signInLink = /Sign in once: (\S+)/u.exec(line)?.[1] ?? null;
  return { ...server, wire: 'ours', url, signInLink };
};

/** A stock server: in memory only, for whoever connects. */
export const startStock = async (
  wire: Exclude<Wire, 'ours'>,
  script: string,
): Promise<Contestant> => {
  const port = await freePort();
  const environment = { PORT: String(port), HOST: '127.0.0.1' };
  const server = await launch({ script, environment });
  return { ...server, wire, url: `http://127.0.0.1:${String(port)}`, signInLink: null };
};
