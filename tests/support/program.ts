import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** The program as people start it. */
export const BIN = join(import.meta.dirname, '../../server/bin/unhindered.js');

export interface Program {
  url: string;
  signInLink: string | null;
  directory: string;
  process: ChildProcess;
  /** What it wrote for its operator so far. */
  said: () => string;
  /** Ends it; a signal other than SIGTERM is not waited to be obeyed. */
  stop: (signal?: NodeJS.Signals) => Promise<void>;
}

/** A fresh directory for a store. */
export const freshDirectory = (): string => mkdtempSync(join(tmpdir(), 'unhindered-test-'));

export const removeDirectory = (directory: string): void =>
  rmSync(directory, { recursive: true, force: true });

/** Starts the real program as people do, on a free port, and waits for its one line. */
export const startProgram = async (
  directory: string,
  port = 0,
  environment: NodeJS.ProcessEnv = {},
  flags: readonly string[] = [],
): Promise<Program> => {
  const child = spawn(
    process.execPath,
    [
      BIN,
      'serve',
      ...['--port', String(port), '--data-dir', directory, '--log-level', 'error'],
      ...flags,
    ],
    {
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, ...environment, NODE_ENV: 'production' },
    },
  );
  let said = '';
  child.stderr.on('data', (chunk: Buffer) => {
    said += chunk.toString();
    process.stderr.write(chunk);
  });
  const line = await new Promise<string>((resolve, reject) => {
    let text = '';
    child.stdout.on('data', (chunk: Buffer) => {
      text += chunk.toString();
      if (text.includes('\n')) resolve(text);
    });
    child.once('exit', (code) => reject(new Error(`the program ended with ${String(code)}`)));
  });
  const url = /ready at (\S+)/u.exec(line)?.[1];
  if (url === undefined) throw new Error(`no address in: ${line}`);
  return {
    url,
    signInLink: /Sign in once: (\S+)/u.exec(line)?.[1] ?? null,
    directory,
    process: child,
    said: () => said,
    stop: async (signal = 'SIGTERM') => {
      if (child.exitCode !== null || child.signalCode !== null) return;
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill(signal);
      await ended;
    },
  };
};

/** Runs the program to its end and returns what it said. */
export const runProgram = async (
  args: readonly string[],
  environment: NodeJS.ProcessEnv = {},
): Promise<{ code: number | null; out: string; err: string }> => {
  const child = spawn(process.execPath, [BIN, ...args], {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, ...environment },
  });
  let out = '';
  let err = '';
  child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
  const code = await new Promise<number | null>((resolve) => child.once('exit', resolve));
  return { code, out, err };
};
