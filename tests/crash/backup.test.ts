import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
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

const on = (directory: string, command: string, file: string) =>
  runProgram([command, file, '--data-dir', directory]);

/** How often backup and restore are drilled. */
const DRILLS = Number(process.env['DRILLS'] ?? 1);
const drills = { repeats: DRILLS - 1, timeout: 60_000 * DRILLS };

test(
  'a backup is made while people write, is whole, and brings everything back on restore',
  drills,
  async () => {
    const first = await started();
    const p = await livePanel(first.url, first.signInLink ?? '');
    const ada = await p.join('reviewer', 'Ada');
    await p.moderator.onEvaluation({ type: 'start-round' });
    await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
    const sheet = await ada.client.openSheet(1);
    await sheet.saved();
    sheet.set('aed-pads', { answer: 3, note: 'before the backup' });
    await sheet.saved();
    const file = join(temporaryDirectory(), 'copy.sqlite');
    const writing = (async () => {
      for (let i = 0; i < 20; i++) {
        sheet.set('chest-access', { note: `n ${String(i)}` });
        await sheet.saved();
      }
    })();
    const made = await on(first.directory, 'backup', file);
    expect(made).toMatchObject({ code: 0, err: '' });
    expect(made.out).toMatch(/holds \d+ events\. Keep a copy of .*keys/u);
    await writing;
    expect(readFileSync(file).includes('before the backup')).toBe(false);
    expect((await on(first.directory, 'backup', file)).code).toBe(2);
    const { cookie } = ada.client;
    await p.moderator.onEvaluation({
      type: 'withdraw',
      reason: 'A change that the backup has not.',
    });
    const inUse = await on(first.directory, 'restore', file);
    expect(inUse).toMatchObject({ code: 1 });
    expect(inUse.err).toContain('Another server has');
    for (const c of [p.moderator, ada.client]) c.close();
    sheet.close();
    await first.stop('SIGTERM');

    const restored = await on(first.directory, 'restore', file);
    expect(restored).toMatchObject({ code: 0, err: '' });
    expect(restored.out).toContain(`Goes back: ${p.evaluation} had`);
    expect(readdirSync(first.directory).some((f) => f.includes('.sqlite.before-'))).toBe(true);
    const second = await started(first.directory, Number(new URL(first.url).port));
    const again = new SeatClient(second.url, cookie);
    onTestFinished(() => again.close());
    await again.watch(p.evaluation);
    expect(again.view.head?.stage).toBe('sealed');
    const read = await again.openSheet(1);
    await read.saved();
    expect(read.doc.getMap('r').get('aed-pads/note')).toBe('before the backup');
    read.close();
  },
);

test('a backup that was changed is not put in place', async () => {
  const first = await started();
  const p = await livePanel(first.url, first.signInLink ?? '');
  const file = join(temporaryDirectory(), 'copy.sqlite');
  expect((await on(first.directory, 'backup', file)).code).toBe(0);
  p.moderator.close();
  await first.stop('SIGTERM');
  const db = new Database(file);
  db.exec('DROP TRIGGER event_never_changes');
  db.exec("UPDATE event SET text = replace(text, 'Live', 'Dead')");
  db.close();
  const place = join(first.directory, 'unhindered.sqlite');
  const before = readFileSync(place);
  const refused = await on(first.directory, 'restore', file);
  expect(refused.code).toBe(1);
  expect(refused.err).toContain(`log ${p.panel}, event 0`);
  expect(readFileSync(place).equals(before)).toBe(true);
  expect(existsSync(join(first.directory, 'restoring.sqlite'))).toBe(false);
  const elsewhere = temporaryDirectory();
  const withoutKeys = await on(elsewhere, 'restore', place);
  expect(withoutKeys.code).toBe(1);
});

test('a killed server leaves no socket in the way, and without a server there is nothing to ask', async () => {
  const first = await started();
  await first.stop('SIGKILL');
  const file = join(temporaryDirectory(), 'copy.sqlite');
  const nobody = await on(first.directory, 'backup', file);
  expect(nobody).toMatchObject({ code: 2 });
  expect(nobody.err).toContain('No server runs on');
  const second = await started(first.directory);
  expect(statSync(join(second.directory, 'control.sock')).isSocket()).toBe(true);
  expect((await on(first.directory, 'backup', file)).code).toBe(0);
  expect((await on(temporaryDirectory(), 'restore', join(file, 'nothing'))).code).toBe(2);
});
