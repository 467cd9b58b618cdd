import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import type { Program } from './program.ts';

/** How long the event loop of a process was held up, milliseconds. */
export interface LoopDelay {
  mean: number;
  p99: number;
  max: number;
}

const PROBE = `
import { isMainThread } from 'node:worker_threads';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { writeFileSync, renameSync } from 'node:fs';
if (isMainThread && process.env.LOOP_DELAY_FILE) {
  const delay = monitorEventLoopDelay({ resolution: 1 });
  delay.enable();
  process.on('SIGUSR2', () => {
    const file = process.env.LOOP_DELAY_FILE;
    const said = { mean: delay.mean / 1e6, p99: delay.percentile(99) / 1e6, max: delay.max / 1e6 };
    writeFileSync(file + '.part', JSON.stringify(said));
    renameSync(file + '.part', file);
    delay.reset();
  });
}`;

/** The file that the probe in a program's process writes to. */
const probeFile = (directory: string): string => join(directory, 'loop-delay.json');

/** The environment of a program whose event loop is watched from inside its own process. */
export const watchedLoop = (directory: string): NodeJS.ProcessEnv => ({
  LOOP_DELAY_FILE: probeFile(directory),
  NODE_OPTIONS: `--import data:text/javascript,${encodeURIComponent(PROBE)}`,
});

/** The delay since it was asked for last. */
export const loopDelay = async (program: Program): Promise<LoopDelay> => {
  const file = probeFile(program.directory);
  rmSync(file, { force: true });
  program.process.kill('SIGUSR2');
  let said = '';
  await expect
    .poll(() => {
      try {
        said = readFileSync(file, 'utf8');
      } catch {
        said = '';
      }
      return said;
    })
    .not.toBe('');
  return JSON.parse(said) as LoopDelay;
};
