import { fork, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SeriesQuestion } from '../../shared-types/src/index.ts';
import type { Play } from './family.ts';
import type { Ran, Task } from './program-process.ts';

const SCRIPT = join(import.meta.dirname, 'program-process.ts');
let child: ChildProcess | undefined;
let n = 0;

/** Runs one command of the program. */
export const runCommand = (argv: readonly string[]): Promise<Ran> => runTask({ argv });

const runTask = (task: Task): Promise<Ran> => {
  child ??= fork(SCRIPT, {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  const process = child;
  process.setMaxListeners(50);
  n++;
  const own = n;
  return new Promise((resolve, reject) => {
    const gone = (): void => {
      child = undefined;
      reject(new Error(`the program ended on ${JSON.stringify(task).slice(0, 100)}`));
    };
    process.once('exit', gone);
    const take = (message: { n: number; ran: Ran }): void => {
      if (message.n !== own) return;
      process.off('message', take);
      process.off('exit', gone);
      resolve(message.ran);
    };
    process.on('message', take);
    process.send({ n: own, task });
  });
};

export const endProgram = (): void => {
  child?.disconnect();
  child = undefined;
};

/** Runs a command on a file with given bytes. */
export const runOnFile = (
  bytes: Uint8Array | string,
  argv: (file: string) => readonly string[],
  name = 'input',
): Promise<Ran & { file: string }> => onFile(bytes, (file) => ({ argv: argv(file) }), name);

/** Reads a file with given bytes as a series, in the thread that an import has; `out` is the answer as JSON. */
export const runSeries = (
  bytes: Uint8Array,
  question: SeriesQuestion,
): Promise<Ran & { file: string }> => onFile(bytes, (file) => ({ file, question }), 'series.csv');

const onFile = async (
  bytes: Uint8Array | string,
  task: (file: string) => Task,
  name: string,
): Promise<Ran & { file: string }> => {
  const folder = mkdtempSync(join(tmpdir(), 'unhindered-hostile-'));
  const file = join(folder, name);
  try {
    writeFileSync(file, bytes);
    return { ...(await runTask(task(file))), file };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

/** A file may be held a few times while it is read: bytes, text, values. */
const MARGIN = 64 * 1024 * 1024;

/** What the program said of a file as an outcome: good, or refused in words. Its own path is the caller's. */
export const judgeRan = (play: Play, ran: Ran & { file: string }, held: number): void => {
  const { judged } = play;
  const said = `${ran.out}${ran.err}`.replaceAll(ran.file, 'FILE');
  judged.answers.push(said);
  const words = /\w+ \w+/u.test(said) && ran.code !== null;
  if (ran.code === 0) judged.outcome = 'accepted-unchanged';
  else judged.outcome = words ? 'rejected-with-clear-error' : undefined;
  judged.observe(
    'bounded',
    ran.grown <= MARGIN + held,
    `${String(Math.round(ran.grown / 1e6))} MB`,
  );
  judged.observe('proto-clean', !ran.polluted, 'Object.prototype of the program');
};
