import { open } from 'node:fs/promises';
import { WorkerSeries } from '../../server/src/adapters/worker-series.ts';
import type { SeriesAnswer, SeriesQuestion } from '../../shared-types/src/index.ts';

/**
 * Runs commands of the built program one after the other in one process, so that hundreds of files need no process
 * each, and reads series in the built thread, piece by piece; says what each printed, its exit code and how much memory it took.
 */
export interface Ran {
  code: number | null;
  out: string;
  err: string;
  /** Bytes the process grew by at its highest. */
  grown: number;
  polluted: boolean;
}

const built = new URL('../../server/dist/cli.js', import.meta.url).href;
const { main } = (await import(built)) as { main: (argv: readonly string[]) => Promise<number> };

/** What to do: a command of the program, or a series to read from a file. */
export type Task = { argv: readonly string[] } | { file: string; question: SeriesQuestion };

const SERIES = new URL('../../server/dist/series-worker.js', import.meta.url);
const PIECE = 64 * 1024;

/** Prints the answer; 0 when the file was read, 1 when it was not. */
const readFile = async (file: string, question: SeriesQuestion): Promise<number> => {
  const reading = new WorkerSeries<SeriesQuestion, SeriesAnswer>(SERIES).begin(question);
  const handle = await open(file);
  try {
    for await (const piece of handle.createReadStream({ highWaterMark: PIECE })) {
      await reading.push(piece as Buffer);
    }
    const answer = await reading.end();
    process.stdout.write(JSON.stringify(answer));
    return answer.ok ? 0 : 1;
  } catch (error) {
    await reading.cancel();
    process.stderr.write(error instanceof Error ? error.message : String(error));
    return 1;
  }
};

const run = async (task: Task): Promise<Ran> => {
  const said = { stdout: '', stderr: '' };
  const real = {
    stdout: process.stdout.write.bind(process.stdout),
    stderr: process.stderr.write.bind(process.stderr),
  };
  for (const name of ['stdout', 'stderr'] as const) {
    process[name].write = (chunk: string | Uint8Array) => {
      said[name] += Buffer.from(chunk as string).toString();
      return true;
    };
  }
  const before = process.memoryUsage.rss();
  const highest = process.resourceUsage().maxRSS;
  let code: number | null = null;
  try {
    code = 'argv' in task ? await main(task.argv) : await readFile(task.file, task.question);
  } catch (error) {
    said.stderr += error instanceof Error ? (error.stack ?? error.message) : String(error);
  }
  process.stdout.write = real.stdout;
  process.stderr.write = real.stderr;
  // maxRSS is in KiB; when it did not rise, this command stayed below an earlier one.
  const now = process.resourceUsage().maxRSS;
  const grown = now > highest ? now * 1024 - before : 0;
  return { code, out: said.stdout, err: said.stderr, grown, polluted: 'polluted' in {} };
};

process.on('message', ({ n, task }: { n: number; task: Task }) => {
  void run(task).then((ran) => process.send?.({ n, ran }));
});
process.on('disconnect', () => process.exit(0));
