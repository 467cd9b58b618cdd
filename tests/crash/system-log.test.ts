import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { livePanel } from '../support/live-panel.ts';
import { runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const started = async (directory: string): Promise<Program> => {
  const program = await startProgram(directory);
  onTestFinished(() => program.stop('SIGKILL'));
  return program;
};

/** Types and data of the events of one log, read while no server runs. */
const eventsOf = (directory: string, log: string): { type: string; data: unknown }[] => {
  const db = new Database(join(directory, 'unhindered.sqlite'));
  try {
    return db
      .prepare('SELECT text FROM event WHERE log GLOB ? ORDER BY seq')
      .all(log)
      .map((r) => JSON.parse((r as { text: string }).text) as { type: string; data: unknown });
  } finally {
    db.close();
  }
};

test('AU-7: a kill, a stop and a restore are on record, also in the evaluation that was under way', async () => {
  const directory = temporaryDirectory();
  const copy = join(temporaryDirectory(), 'copy.sqlite');
  const first = await started(directory);
  const p = await livePanel(first.url, first.signInLink ?? '');
  expect((await runProgram(['backup', copy, '--data-dir', directory])).code).toBe(0);
  p.moderator.close();
  await first.stop('SIGKILL');
  const second = await started(directory);
  await second.stop('SIGTERM');
  const third = await started(directory);
  await third.stop('SIGTERM');
  expect(eventsOf(directory, 'sy_*').map((e) => e.type)).toEqual([
    'server-started',
    'server-started',
    'server-stopped',
    'server-started',
    'server-stopped',
  ]);
  const unclean = eventsOf(directory, p.evaluation).filter((e) => e.type === 'server-started');
  expect(unclean.map((e) => (e.data as { unclean: boolean }).unclean)).toEqual([true, false]);
  expect((await runProgram(['restore', copy, '--data-dir', directory])).code).toBe(0);
  const fourth = await started(directory);
  await fourth.stop('SIGTERM');
  expect(eventsOf(directory, p.evaluation).slice(-2)).toMatchObject([
    { type: 'store-restored' },
    { type: 'server-started', data: { unclean: false } },
  ]);
});
