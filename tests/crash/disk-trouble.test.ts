import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { CommandMessage } from '../../shared-types/src/index.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { crewOf, expectKept, startLoad } from '../support/acknowledged-load.ts';
import { failingDisk } from '../support/disk-fault.ts';
import { livePanel } from '../support/live-panel.ts';
import { hasCompiler } from '../support/preload.ts';
import { runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const STRIDE = Number(process.env['FAULT_STRIDE'] ?? 7);
const LOCK_STEP = STRIDE === 1 ? 1 : 5;

interface Health {
  ok: boolean;
  readOnly: string | null;
  trouble?: string;
}

const health = async ({ url }: Program): Promise<Health> =>
  (await (await fetch(`${url}/healthz`)).json()) as Health;

const troubled = async () => {
  const directory = temporaryDirectory();
  const { plan, environment } = failingDisk(directory);
  const program = await startProgram(directory, 0, environment);
  onTestFinished(() => program.stop('SIGKILL'));
  return { program, plan, environment, directory, port: Number(new URL(program.url).port) };
};

const invite = { type: 'invite', role: 'observer', label: '', by: 'link', until: null } as const;

test.skipIf(!hasCompiler)(
  'ST-3: a running server whose disk fails says so, keeps nothing more, and a restart has all it acknowledged',
  async () => {
    const { program, plan, directory, port } = await troubled();
    const crew = await crewOf(program);
    const load = startLoad(crew);
    await expect.poll(() => crew.journal.edits.size, { timeout: 30_000 }).toBeGreaterThan(3);
    plan.set('sync', { after: 2, error: 'EIO' });
    await expect.poll(async () => (await health(program)).ok, { timeout: 30_000 }).toBe(false);
    expect((await health(program)).readOnly).toContain('The disk failed (SQLITE_IOERR_FSYNC)');
    const refused = await crew.moderator.send({
      on: 'panel',
      panel: crew.panel,
      command: { ...invite, seat: null },
    });
    expect(refused).toMatchObject({ ok: false, rejection: { code: 'read-only' } });
    expect(JSON.stringify(refused)).toContain('The disk failed');
    await program.stop('SIGKILL');
    await load.stop();
    const again = await startProgram(directory, port);
    onTestFinished(() => again.stop('SIGKILL'));
    expect(await health(again)).toEqual({ ok: true, readOnly: null });
    await expectKept(crew, 'after a failed sync');
  },
);

test.skipIf(!hasCompiler)(
  'ST-8: a running server whose disk is full says so, and goes on without a restart when there is room',
  async () => {
    const { program, plan } = await troubled();
    const crew = await crewOf(program);
    const load = startLoad(crew);
    await expect.poll(() => crew.journal.edits.size, { timeout: 30_000 }).toBeGreaterThan(3);
    plan.set('write', { after: 2, error: 'ENOSPC', sticky: true, torn: true });
    await expect.poll(async () => (await health(program)).ok, { timeout: 30_000 }).toBe(false);
    expect(await health(program)).toMatchObject({ readOnly: null });
    expect((await health(program)).trouble).toContain('disk is full');
    const command = { ...invite, seat: null };
    const ask = () => crew.moderator.send({ on: 'panel', panel: crew.panel, command });
    const refused = await ask();
    expect(refused).toMatchObject({ ok: false, rejection: { code: 'try-again' } });
    expect(JSON.stringify(refused)).toContain('disk is full');
    const before = [...crew.journal.edits.values()];
    plan.heal();
    expect(await ask()).toMatchObject({ ok: true });
    expect(await health(program)).toEqual({ ok: true, readOnly: null });
    // People's devices come back by themselves and their edits are kept.
    await expect
      .poll(() => [...crew.journal.edits.values()].every((n, i) => n > (before[i] ?? 0)), {
        timeout: 60_000,
      })
      .toBe(true);
    await load.stop();
    await expectKept(crew, 'after the disk was full');
  },
);

test.skipIf(!hasCompiler)(
  'a read-only disk is named at the start, and nothing is touched',
  async () => {
    const { program, plan, environment, directory } = await troubled();
    await program.stop();
    plan.set('read-only', { error: 'EROFS' });
    const args = ['serve', '--port', '0', '--data-dir', directory];
    const second = await runProgram(args, environment);
    expect(second.code).toBe(1);
    expect(second.err).toMatch(/cannot be written .*read-only/u);
    expect(second.err).not.toContain('    at ');
    plan.heal();
    const third = await startProgram(directory, 0, environment);
    onTestFinished(() => third.stop('SIGKILL'));
    expect(await health(third)).toEqual({ ok: true, readOnly: null });
  },
);

/** A panel one command before its lock, and that command. */
const readyToLock = async (program: Program) => {
  const p = await livePanel(program.url, program.signInLink ?? '');
  const { client } = await p.join('reviewer', 'Ada');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await client.openSheet(1);
  await sheet.saved();
  sheet.set('aed-pads', { answer: 2 });
  await sheet.saved();
  sheet.close();
  client.close();
  await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  const settle = { task: 'aed-pads', how: 'adopt', value: null, reason: null } as const;
  await p.moderator.onEvaluation({ type: 'settle-task', ...settle });
  const lock: CommandMessage = {
    id: `cm_${'L'.repeat(22)}`,
    clientAt: '2026-03-02T09:00:00.000Z',
    on: 'evaluation',
    evaluation: p.evaluation,
    command: { type: 'lock', meaning: 'As rated.' },
  };
  const { cookie } = p.moderator;
  p.moderator.close();
  return { cookie, lock, evaluation: p.evaluation };
};

test.skipIf(!hasCompiler)(
  'AU-3: killed before any write of a lock, the evaluation is locked whole or not at all',
  { timeout: 900_000 },
  async () => {
    const { program, plan, environment, directory, port } = await troubled();
    const { cookie, lock, evaluation } = await readyToLock(program);
    let running = program;
    const stages: string[] = [];
    for (let n = 0; stages.at(-1) !== 'locked' && n < 60; n += LOCK_STEP) {
      const client = new SeatClient(running.url, cookie);
      await client.watch(evaluation);
      const ended = new Promise((resolve) => running.process.once('exit', resolve));
      plan.set('kill', { after: n });
      // The answer may never come: then only the restart tells what became of it.
      await Promise.race([client.send(lock).catch(() => undefined), ended]);
      plan.heal();
      await running.stop('SIGKILL');
      client.close();
      running = await startProgram(directory, port, environment);
      const last = running;
      onTestFinished(() => last.stop('SIGKILL'));
      expect(await health(running), `killed before write ${String(n)}`).toEqual({
        ok: true,
        readOnly: null,
      });
      const again = new SeatClient(running.url, cookie);
      await again.watch(evaluation);
      const { head, lock: slice } = again.view;
      expect(slice?.locked === null, `killed before write ${String(n)}`).toBe(
        head?.stage === 'opened',
      );
      stages.push(head?.stage ?? 'none');
      // Asked again with the same id, a lock that happened gives the same answer.
      if (head?.stage === 'locked') expect(await again.send(lock)).toMatchObject({ ok: true });
      again.close();
    }
    expect(stages.length).toBeGreaterThan(1);
    expect(stages.at(-1)).toBe('locked');
    expect(new Set(stages.slice(0, -1))).toEqual(new Set(['opened']));
    process.stdout.write(
      `lock: killed before ${String(stages.length - 1)} of its writes (every ${String(LOCK_STEP)}): 0 halves\n`,
    );
  },
);

test.skipIf(!hasCompiler)(
  'AU-3: before every write and sync of a whole panel, the files hold the step before or the step after',
  { timeout: 600_000 },
  () => {
    const base = temporaryDirectory();
    const { environment } = failingDisk(join(base, 'run-'));
    const script = join(import.meta.dirname, '../support/disk-copies-panel.ts');
    const run = spawnSync(process.execPath, ['--import', 'tsx', script, String(STRIDE), base], {
      env: { ...process.env, ...environment, FAULT_COPIES: join(base, 'copies') },
      encoding: 'utf8',
    });
    expect(run.status, run.stderr).toBe(0);
    const { calls, commits, opened, wrong } = JSON.parse(run.stdout) as {
      calls: number;
      commits: number;
      opened: number;
      wrong: string[];
    };
    process.stdout.write(
      `copies: ${String(opened)} of ${String(calls)} states of ${String(commits)} commits opened, ` +
        `${String(wrong.length)} wrong\n`,
    );
    expect(wrong).toEqual([]);
    expect(opened).toBeGreaterThan(200 / STRIDE);
  },
);
