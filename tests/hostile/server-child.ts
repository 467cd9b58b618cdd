import { fork, type ChildProcess } from 'node:child_process';
import { join } from 'node:path';
import type { Probe } from './server-process.ts';

const SCRIPT = join(import.meta.dirname, 'server-process.ts');

/** A server in a process of its own, as `serve` starts it. */
export interface ServerChild {
  /** Undefined when it ended before it was ready. */
  url: string | undefined;
  signInLink: string;
  process: ChildProcess;
  out: () => string;
  /** Everything it said on standard error: the running log. */
  err: () => string;
  probe: () => Promise<Probe>;
  /** Sets the wall clock so many seconds off. */
  setClock: (seconds: number) => Promise<Probe>;
  /** Exit code once it ended. */
  ended: Promise<number | null>;
  stop: (signal?: NodeJS.Signals) => Promise<number | null>;
}

const asker = (child: ChildProcess) => {
  let n = 0;
  const waiting = new Map<number, (probe: Probe) => void>();
  const gone: ((error: Error) => void)[] = [];
  child.once('exit', () => {
    for (const tell of gone) tell(new Error('the server process is gone'));
  });
  child.on('message', (message: { n: number; probe: Probe }) => {
    waiting.get(message.n)?.(message.probe);
    waiting.delete(message.n);
  });
  return (ask: 'probe' | 'clock', seconds = 0): Promise<Probe> =>
    new Promise((resolve, reject) => {
      if (!child.connected) {
        reject(new Error('the server process is gone'));
        return;
      }
      n++;
      waiting.set(n, resolve);
      gone.push(reject);
      child.send({ n, ask, seconds });
    });
};

/** Starts the server on a free port over a directory and waits until it is ready or has ended. */
export const startChild = async (
  directory: string,
  environment: NodeJS.ProcessEnv = {},
): Promise<ServerChild> => {
  const flags = ['serve', '--port', '0', '--data-dir', directory, '--log-level', 'info'];
  const child = fork(SCRIPT, flags, {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
    env: { ...process.env, ...environment },
  });
  let out = '';
  let err = '';
  child.stderr?.on('data', (chunk: Buffer) => (err += chunk.toString()));
  const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
  const ready = new Promise<void>((resolve) => {
    child.stdout?.on('data', (chunk: Buffer) => {
      out += chunk.toString();
      if (out.includes('\n')) resolve();
    });
  });
  await Promise.race([ready, ended]);
  const ask = asker(child);
  return {
    url: /ready at (\S+)/u.exec(out)?.[1],
    signInLink: /Sign in once: (\S+)/u.exec(out)?.[1] ?? '',
    process: child,
    out: () => out,
    err: () => err,
    probe: () => ask('probe'),
    setClock: (seconds) => ask('clock', seconds),
    ended,
    stop: (signal = 'SIGTERM') => {
      if (child.exitCode === null && child.signalCode === null) child.kill(signal);
      return ended;
    },
  };
};
