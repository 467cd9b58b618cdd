import { spawn } from 'node:child_process';
import { cpSync, existsSync, readFileSync, watch } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { BIN, runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const started = async (directory: string, environment = {}, port = 0): Promise<Program> => {
  const program = await startProgram(directory, port, environment);
  onTestFinished(() => program.stop('SIGKILL'));
  return program;
};

const sheetsKey = (directory: string): string =>
  readFileSync(join(directory, 'keys', 'sheets.key'), 'utf8');

/** A round under way with one sealed rating in each of `tasks`, and its server. */
const rated = async (server: Program, edits: number) => {
  const p = await livePanel(server.url, server.signInLink ?? '');
  const ada = await p.join('reviewer', 'Ada (invented)');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await ada.client.openSheet(1);
  for (let i = 0; i < edits; i++)
    sheet.set('chest-access', { answer: i % 5, note: `n ${String(i)}` });
  sheet.set('chest-access', { answer: 3, note: 'sealed before the change' });
  await sheet.saved();
  sheet.close();
  for (const c of [p.moderator, ada.client]) c.close();
  return { evaluation: p.evaluation, moderator: p.moderator, ada: ada.client };
};

/** Opens the round on a server that was started again: what was rated is there. */
const opens = async (
  { url }: Program,
  { evaluation, moderator, ada }: Awaited<ReturnType<typeof rated>>,
): Promise<void> => {
  const again = new SeatClient(url, ada.cookie);
  const desk = new SeatClient(url, moderator.cookie);
  onTestFinished(() => [again, desk].forEach((c) => c.close()));
  await again.watch(evaluation);
  const sheet = await again.openSheet(1);
  await expect
    .poll(() => sheet.doc.getMap('r').get('chest-access/note'))
    .toBe('sealed before the change');
  sheet.set('aed-pads', { answer: 2 });
  await sheet.saved();
  sheet.close();
  await desk.watch(evaluation);
  await desk.onEvaluation({ type: 'open-round', withMissing: true });
  await desk.until('opened', (v) => v.head?.stage === 'opened' && v.tasks !== undefined);
  expect(JSON.stringify(desk.view.tasks?.['chest-access'])).toContain('sealed before the change');
};

const rotate = (directory: string, environment: NodeJS.ProcessEnv = {}) =>
  runProgram(['rotate-key', '--sheets', '--data-dir', directory], environment);

/** Kills the change `ms` after its next key is on disk; whether it had not ended by then. */
const killed = async (directory: string, ms: number): Promise<boolean> => {
  const child = spawn(process.execPath, [BIN, 'rotate-key', '--sheets', '--data-dir', directory]);
  const gone = new Promise((resolve) => child.once('exit', resolve));
  const watcher = watch(join(directory, 'keys'), (_event, name) => {
    if (name === 'sheets.key.next') setTimeout(() => child.kill('SIGKILL'), ms);
  });
  await gone;
  watcher.close();
  return existsSync(join(directory, 'keys', 'sheets.key.next'));
};

test('KR-4, KR-6, ST-16: killed at any moment it goes on; a backup from before needs the key of its time', async () => {
  const directory = temporaryDirectory();
  const first = await started(directory);
  const panel = await rated(first, 20);
  const oldKeys = temporaryDirectory();
  cpSync(join(directory, 'keys'), oldKeys, { recursive: true });
  const copy = join(temporaryDirectory(), 'before.backup');
  expect(await runProgram(['backup', copy, '--data-dir', directory])).toMatchObject({ code: 0 });
  const before = sheetsKey(directory);
  expect(await rotate(directory)).toMatchObject({
    code: 1,
    err: expect.stringMatching(/Stop it first/u) as string,
  });
  expect(sheetsKey(directory)).toBe(before);
  await first.stop();

  let cut = 0;
  for (const ms of [0, 1, 3]) if (await killed(directory, ms)) cut++;
  process.stdout.write(`changes of key killed half way: ${String(cut)} of 3\n`);
  const done = await rotate(directory);
  expect(done).toMatchObject({ code: 0, err: '' });
  expect(done.out).toMatch(/Every sheet is sealed with a new key/u);
  expect(sheetsKey(directory)).not.toBe(before);
  expect(existsSync(join(directory, 'keys', 'sheets.key.next'))).toBe(false);

  const port = Number(new URL(first.url).port);
  const second = await started(directory, {}, port);
  await opens(second, panel);
  await second.stop();

  const restore = (...flags: string[]) =>
    runProgram(['restore', copy, '--data-dir', directory, ...flags]);
  expect(await restore()).toMatchObject({
    code: 1,
    err: expect.stringMatching(/another key.*--sheets-key FILE\. Nothing was changed/u) as string,
  });
  expect(await restore('--sheets-key', join(oldKeys, 'signing.key'))).toMatchObject({ code: 1 });
  expect(await restore('--sheets-key', join(oldKeys, 'sheets.key'))).toMatchObject({ code: 0 });
  const third = await started(directory, {}, port);
  await opens(third, panel);
  await third.stop();

  cpSync(join(oldKeys, 'sheets.key'), join(directory, 'keys', 'sheets.key'));
  await expect(startProgram(directory)).rejects.toThrow(/ended with 1/u);
}, 120_000);

describe.skipIf(noPostgres)('on a database', () => {
  test('KR-5: refused while any server works on it; then servers go on with the new keys alone', async () => {
    const database = await freshDatabase();
    onTestFinished(() => database.drop());
    const environment = { STORE: database.address };
    const [one, two] = [temporaryDirectory(), temporaryDirectory()];
    const first = await started(one, environment);
    cpSync(join(one, 'keys'), join(two, 'keys'), { recursive: true });
    const second = await started(two, environment);
    const panel = await rated(first, 5);
    await first.stop();
    // The other server is at work on another machine, as it were: the database tells.
    expect(await rotate(one, environment)).toMatchObject({
      code: 1,
      err: expect.stringMatching(/Stop every server first.*Nothing was changed/u) as string,
    });
    expect(await rotate(one)).toMatchObject({ code: 2 });
    await second.stop();
    expect(await rotate(one, environment)).toMatchObject({ code: 0, err: '' });
    await expect(startProgram(two, 0, environment)).rejects.toThrow(/ended with 1/u);
    cpSync(join(one, 'keys'), join(two, 'keys'), { recursive: true });
    const again = await started(two, environment, Number(new URL(first.url).port));
    await opens(again, panel);
  }, 60_000);
});
