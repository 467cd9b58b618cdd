import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { failingDisk } from '../support/disk-fault.ts';
import type { DiskFault } from '../support/disk-plan.ts';
import { hasCompiler, NO_COMPILER, preload } from '../support/preload.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

/** Every how many writes one fails; of the syncs, which are few, every third. `npm run family:disk` takes each. */
const STRIDE = Number(process.env['FAULT_STRIDE'] ?? 61);
const SYNCS = STRIDE === 1 ? 1 : 3;

/** What one run with one failing call said; see disk-fault-panel.ts. */
interface Run {
  n: number;
  failed: number;
  acknowledged: number;
  refused: string;
  fault: string | null;
  again: string;
  later: string;
  missing: string[];
  faults: object[];
}

/** Plays a whole panel once for each failing call; every run, the last of which nothing failed in. */
const everyFault = async (
  kind: DiskFault,
  error: string,
  torn: 'torn' | 'whole',
  step: number,
): Promise<Run[]> => {
  const base = temporaryDirectory();
  const { environment } = failingDisk(join(base, 'run-'));
  const libraries = `${environment['LD_PRELOAD'] ?? ''} ${preload('power-cut')}`;
  const script = join(import.meta.dirname, '../support/disk-fault-panel.ts');
  const child = spawn(
    process.execPath,
    ['--import', 'tsx', script, kind, error, torn, String(step), base],
    {
      env: { ...process.env, ...environment, LD_PRELOAD: libraries },
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  let said = '';
  child.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()));
  expect(await new Promise((resolve) => child.once('exit', resolve))).toBe(0);
  return said
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Run);
};

const report = (what: string, runs: readonly Run[]): void => {
  const acknowledged = runs.reduce((sum, r) => sum + r.acknowledged, 0);
  const missing = runs.reduce((sum, r) => sum + r.missing.length, 0);
  process.stdout.write(
    `${what}: ${String(runs.length - 1)} faults in a panel of ${String(runs.at(-1)?.n)} or fewer calls; ` +
      `${String(acknowledged)} acknowledged, ${String(missing)} missing afterwards\n`,
  );
};

/** Whatever failed: what was acknowledged is there once, what is there holds together, and people were told. */
const expectHonest = (what: string, runs: readonly Run[]): void => {
  report(what, runs);
  const last = runs.at(-1);
  expect(last).toMatchObject({ failed: 0, refused: '', fault: null, again: 'kept', later: 'kept' });
  expect(last?.acknowledged).toBeGreaterThan(30);
  for (const run of runs) {
    expect(run, what).toMatchObject({ missing: [], faults: [] });
    if (run !== last) expect(run.refused, `${what}, call ${String(run.n)}`).toMatch(/\bdisk\b/u);
  }
};

test.skipIf(hasCompiler)(NO_COMPILER, () => expect(hasCompiler).toBe(false));

test.skipIf(!hasCompiler)(
  'ST-3: whichever sync fails, nothing acknowledged is lost and nothing more is acknowledged until a restart',
  { timeout: 600_000 },
  async () => {
    const runs = await everyFault('sync', 'EIO', 'whole', SYNCS);
    expectHonest('a sync fails', runs);
    // The first syncs are those of opening: then there is no store to ask.
    const running = runs.slice(0, -1).filter((r) => r.acknowledged > 0);
    expect(running.length).toBeGreaterThan(20 / SYNCS);
    for (const { fault, again, later } of running) {
      expect(fault).toContain('SQLITE_IOERR_FSYNC');
      expect([again, later]).toEqual([fault, fault]);
    }
  },
);

test.skipIf(!hasCompiler).each(['whole', 'torn'] as const)(
  'ST-3: whichever write fails (%s), nothing acknowledged is lost and nothing more is acknowledged until a restart',
  { timeout: 1_800_000 },
  async (torn) => {
    const runs = await everyFault('write', 'EIO', torn, STRIDE);
    expectHonest(`a write fails (${torn})`, runs);
    const running = runs.slice(0, -1).filter((r) => r.acknowledged > 0);
    expect(running.length).toBeGreaterThan(200 / STRIDE);
    for (const { fault, again, later } of running) {
      expect(fault).toContain('SQLITE_IOERR');
      expect([again, later]).toEqual([fault, fault]);
    }
  },
);

test.skipIf(!hasCompiler)(
  'ST-8: wherever the disk gets full, nothing acknowledged is lost, people are told, and it goes on with room',
  { timeout: 1_800_000 },
  async () => {
    const runs = await everyFault('write', 'ENOSPC', 'torn', STRIDE);
    expectHonest('the disk is full', runs);
    const running = runs.slice(0, -1).filter((r) => r.acknowledged > 0);
    expect(running.length).toBeGreaterThan(200 / STRIDE);
    for (const { fault, again, later } of running) {
      expect(fault).toBeNull();
      expect(again).toContain('disk is full');
      expect(later).toBe('kept');
    }
  },
);
