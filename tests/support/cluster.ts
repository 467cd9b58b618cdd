import { spawnSync } from 'node:child_process';
import { chownSync, cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { freePort } from './balancer.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from './program.ts';

/** Several servers on one store, each of which can be ended and started again at its own port. */
export interface Cluster {
  ports: readonly number[];
  servers: Program[];
  /** Starts one again where it was. */
  start: (i: number) => Promise<void>;
  /** A way in for a further lead, from a server that asks for one at its start. */
  newLink: () => Promise<string>;
  close: () => Promise<void>;
}

/** Starts `count` servers with these settings beside their own. */
export const startCluster = async (
  count: number,
  environment: NodeJS.ProcessEnv,
): Promise<Cluster> => {
  const directories: string[] = [];
  const ports: number[] = [];
  const servers: Program[] = [];
  const further = (): string => {
    const directory = freshDirectory();
    const [first] = directories;
    if (first !== undefined) cpSync(`${first}/keys`, `${directory}/keys`, { recursive: true });
    directories.push(directory);
    return directory;
  };
  for (let i = 0; i < count; i++) {
    const directory = further();
    ports.push(await freePort());
    servers.push(await startProgram(directory, ports[i], environment));
  }
  return {
    ports,
    servers,
    start: async (i) => {
      servers[i] = await startProgram(directories[i] ?? '', ports[i], environment);
    },
    newLink: async () => {
      const asking = await startProgram(further(), 0, environment, ['--new-sign-in-link']);
      await asking.stop();
      return asking.signInLink ?? '';
    },
    close: async () => {
      for (const server of servers) await server.stop('SIGKILL');
      directories.forEach(removeDirectory);
    },
  };
};

/** A PostgreSQL of its own, which may be ended without asking: the shared one never is. */
export interface OwnPostgres {
  address: string;
  /** Process id of its first process: all others are children of that. */
  pid: () => number;
  /** Ends it as a crash does, and starts it again after `ms`. */
  crash: (ms: number) => Promise<void>;
  stop: () => void;
}

const postgresPrograms = (): string | undefined => {
  const found = spawnSync('sh', ['-c', 'ls -d /usr/lib/postgresql/*/bin | tail -1'], {
    encoding: 'utf8',
  });
  const directory = found.stdout.trim();
  return directory === '' ? undefined : directory;
};

/** Runs as the user that PostgreSQL may run as: it refuses root. */
const asPostgres = (command: string, args: readonly string[]): string => {
  const root = process.getuid?.() === 0;
  const whole = root ? ['runuser', '-u', 'postgres', '--', command, ...args] : [command, ...args];
  const run = spawnSync(whole[0] ?? '', whole.slice(1), {
    encoding: 'utf8',
    cwd: '/',
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  if (run.status !== 0) throw new Error(`${command}: ${run.stderr}`);
  return run.stderr;
};

/** Whether a PostgreSQL of one's own can be made here. */
export const noOwnPostgres =
  postgresPrograms() === undefined ||
  (process.getuid?.() === 0 && spawnSync('id', ['postgres']).status !== 0);

/** Makes one in a directory of its own, on a port of its own. */
export const ownPostgres = async (): Promise<OwnPostgres> => {
  const programs = postgresPrograms() ?? '';
  const directory = mkdtempSync(join(tmpdir(), 'unhindered-pg-'));
  if (process.getuid?.() === 0) {
    const id = (flag: string): number =>
      Number(spawnSync('id', [flag, 'postgres'], { encoding: 'utf8' }).stdout);
    chownSync(directory, id('-u'), id('-g'));
  }
  const data = join(directory, 'data');
  const port = await freePort();
  const control = (...args: string[]): string =>
    asPostgres(join(programs, 'pg_ctl'), ['-D', data, '-w', ...args]);
  const start = (): string =>
    control(
      '-l',
      join(directory, 'log'),
      '-o',
      `-p ${String(port)} -k ${directory} -c listen_addresses=127.0.0.1`,
      'start',
    );
  asPostgres(join(programs, 'initdb'), ['-D', data, '-A', 'trust', '-U', 'postgres']);
  start();
  return {
    address: `postgres://postgres@127.0.0.1:${String(port)}/postgres`,
    pid: () => Number(readFileSync(join(data, 'postmaster.pid'), 'utf8').split('\n')[0]),
    crash: async (ms) => {
      control('-m', 'immediate', 'stop');
      await new Promise((resolve) => setTimeout(resolve, ms));
      start();
    },
    stop: () => {
      control('-m', 'immediate', 'stop');
      rmSync(directory, { recursive: true, force: true });
    },
  };
};
