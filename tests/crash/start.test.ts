import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const started = async (directory = temporaryDirectory(), port = 0): Promise<Program> => {
  const program = await startProgram(directory, port);
  onTestFinished(() => program.stop('SIGKILL'));
  return program;
};

const serveArgs = (directory: string): string[] => [
  'serve',
  '--port',
  '0',
  '--data-dir',
  directory,
];

test('ST-2: a second server on the same store ends at once with words, and the first goes on', async () => {
  const first = await started();
  const before = performance.now();
  const second = await runProgram(serveArgs(first.directory));
  expect(second.code).toBe(1);
  expect(second.err).toContain('Another server has');
  expect(second.err).not.toContain('    at ');
  expect(second.out).toBe('');
  expect(performance.now() - before).toBeLessThan(10_000);
  expect((await fetch(`${first.url}/healthz`)).status).toBe(200);
});

test('told to stop, it lets everybody know and ends with 0; people come back by themselves', async () => {
  const first = await started();
  const p = await livePanel(first.url, first.signInLink ?? '');
  const ada = await p.join('reviewer', 'Ada');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await ada.client.openSheet(1);
  sheet.set('aed-pads', { answer: 3 });
  await sheet.saved();
  const code = new Promise<number | null>((resolve) => {
    sheet.provider.on('connection-close', (event: { code: number } | null) =>
      resolve(event?.code ?? null),
    );
  });
  await first.stop('SIGTERM');
  expect(first.process.exitCode).toBe(0);
  expect(await code).toBe(4503);
  const second = await started(first.directory, Number(new URL(first.url).port));
  expect(second.signInLink).toBeNull();
  sheet.set('aed-pads', { answer: 4 });
  await sheet.saved();
  await p.moderator.onEvaluation({ type: 'present-task', task: 'aed-pads' });
  await ada.client.watch(p.evaluation);
  expect(ada.client.view.head?.present).toBe('aed-pads');
});

test('AU-4: a store that was changed behind its back is shown read-only, naming log and event', async () => {
  const first = await started();
  const p = await livePanel(first.url, first.signInLink ?? '');
  const { cookie } = p.moderator;
  p.moderator.close();
  await first.stop('SIGTERM');
  const db = new Database(join(first.directory, 'unhindered.sqlite'));
  db.exec('DROP TRIGGER event_never_changes');
  db.prepare(
    "UPDATE event SET text = replace(text, 'Heron 3', 'Heron 4') WHERE log = ? AND seq = 0",
  ).run(p.evaluation);
  db.close();
  const second = await started(first.directory, Number(new URL(first.url).port));
  const health = (await (await fetch(`${second.url}/healthz`)).json()) as { readOnly: string };
  expect(health.readOnly).toContain(`log ${p.evaluation}, event 0`);
  const moderator = new SeatClient(second.url, cookie);
  onTestFinished(() => moderator.close());
  const present = { type: 'invite', role: 'observer', label: '', by: 'code', until: null } as const;
  expect(
    await moderator.send({ on: 'panel', panel: p.panel, command: { ...present, seat: null } }),
  ).toMatchObject({ ok: false, rejection: { code: 'read-only' } });
});

test('ST-5: without its key an existing store is not opened', async () => {
  const first = await started();
  await first.stop('SIGTERM');
  rmSync(join(first.directory, 'keys', 'signing.key'));
  const second = await runProgram(serveArgs(first.directory));
  expect(second.code).toBe(1);
  expect(second.err).toContain('signing.key is missing');
});

test('a store that is no store is named, and left alone', async () => {
  const first = await started();
  await first.stop('SIGTERM');
  const file = join(first.directory, 'unhindered.sqlite');
  for (const suffix of ['-wal', '-shm']) rmSync(`${file}${suffix}`, { force: true });
  writeFileSync(file, Buffer.alloc(8192, 'x'));
  const second = await runProgram(serveArgs(first.directory));
  expect(second.code).toBe(1);
  expect(second.err).toContain('is damaged');
});

test('usage faults end with 2, a taken port with 1 and words', async () => {
  const first = await started();
  const port = new URL(first.url).port;
  const taken = await runProgram(['serve', '--port', port, '--data-dir', temporaryDirectory()]);
  expect(taken).toMatchObject({
    code: 1,
    err: `Port ${port} is in use. Choose another with PORT or --port.\n`,
  });
  for (const args of [
    ['serve', '--port', 'x'],
    ['serve', '--nothing'],
    ['nothing'],
    ['serve', '--tls-cert', 'a'],
  ]) {
    expect((await runProgram(args)).code, args.join(' ')).toBe(2);
  }
  expect((await runProgram(['help'])).code).toBe(0);
});
