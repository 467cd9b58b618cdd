import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import pg from 'pg';
import { describe, expect, onTestFinished, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { livePanel } from '../support/live-panel.ts';
import { attachLive, showLive } from '../support/live-upload.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const started = async (directory: string, environment = {}, port = 0): Promise<Program> => {
  const program = await startProgram(directory, port, environment);
  onTestFinished(() => program.stop('SIGKILL'));
  return program;
};

const database = async () => {
  const made = await freshDatabase();
  onTestFinished(() => made.drop());
  return made.address;
};

const move = (directory: string, address: string) =>
  runProgram(['move', '--data-dir', directory, '--store', address]);

/** A store with one locked evaluation and one under way, its server stopped. */
const filled = async () => {
  const directory = temporaryDirectory();
  const first = await started(directory);
  const p = await livePanel(first.url, first.signInLink ?? '');
  const ada = await p.join('reviewer', 'Ada (invented)');
  const ben = await p.join('reviewer', 'Ben (invented)');
  await attachLive(p, 1);
  await showLive(p, 2);
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await ada.client.openSheet(1);
  sheet.set('chest-access', { answer: 3, note: 'kept over the move' });
  await sheet.saved();
  sheet.close();
  for (const c of [p.moderator, ada.client, ben.client]) c.close();
  await first.stop('SIGTERM');
  return {
    directory,
    evaluation: p.evaluation,
    port: Number(new URL(first.url).port),
    ada,
    moderator: p.moderator,
  };
};

describe.skipIf(noPostgres)('a store’s file into a database', () => {
  test('OP-3: everything goes over, people go on where they were, and the record holds', async () => {
    const { directory, evaluation, port, ada, moderator } = await filled();
    const address = await database();
    const moved = await move(directory, address);
    expect(moved).toMatchObject({ code: 0, err: '' });
    expect(moved.out).toMatch(/Moved \d+ events, \d+ edits and \d+ names; every log holds/u);
    expect(moved.out).toMatch(
      /Photos and clips stay files in .*media: 2 of 2 on record are there/u,
    );
    expect(existsSync(join(directory, 'unhindered.sqlite'))).toBe(false);
    expect(readdirSync(directory).filter((f) => f.includes('.sqlite.moved-'))).toHaveLength(1);
    const second = await started(directory, { STORE: address }, port);
    const again = new SeatClient(second.url, ada.client.cookie);
    onTestFinished(() => again.close());
    await again.watch(evaluation);
    const sheet = await again.openSheet(1);
    await expect
      .poll(() => sheet.doc.getMap('r').get('chest-access/note'))
      .toBe('kept over the move');
    sheet.set('aed-pads', { answer: 2 });
    await sheet.saved();
    sheet.close();
    const lead = new SeatClient(second.url, moderator.cookie);
    onTestFinished(() => lead.close());
    await lead.watch(evaluation);
    await lead.onEvaluation({ type: 'open-round', withMissing: true });
    await lead.onEvaluation({ type: 'adopt-undisputed' });
    await lead.onEvaluation({ type: 'lock', meaning: 'We stand by this.' });
    const answer = await fetch(`${second.url}/api/evaluations/${evaluation}/bundle`, {
      headers: { cookie: moderator.cookie },
    });
    const checked = verifyBundle(new Uint8Array(await answer.arrayBuffer()), { seen: [] });
    expect(checked.findings).toEqual([]);
    expect(checked.facts?.result?.tasks.find((t) => t.task === 'aed-pads')?.median).toEqual({
      value: '2',
    });
  });

  test('OP-3: a database that is used, and a file that does not hold, are refused and nothing changes', async () => {
    const { directory } = await filled();
    const used = await database();
    const client = new pg.Client({ connectionString: used });
    const other = await filled();
    const media = join(other.directory, 'media');
    const log = readdirSync(media).find((name) => name.startsWith('rg_')) ?? '';
    const [photo = ''] = readdirSync(join(media, log));
    rmSync(join(media, log, photo));
    const without = await move(other.directory, used);
    expect(without.code).toBe(0);
    expect(without.out).toContain('1 of 2 on record are there');
    expect(without.out).toContain(`${join(media, log, photo)} is missing.`);
    const again = await move(directory, used);
    expect(again.code).toBe(1);
    expect(again.err).toContain('Give an empty one');
    expect(existsSync(join(directory, 'unhindered.sqlite'))).toBe(true);
    await client.connect();
    const { rows } = await client.query('SELECT count(*) AS n FROM log_end');
    await client.end();
    expect(Number((rows[0] as { n: string }).n)).toBeGreaterThan(0);

    const file = join(directory, 'unhindered.sqlite');
    const db = new Database(file);
    db.exec('DROP TRIGGER event_never_changes');
    db.exec("UPDATE event SET text = replace(text, 'Heron', 'Egret') WHERE text LIKE '%Heron%'");
    db.close();
    const empty = await database();
    const bad = await move(directory, empty);
    expect(bad.code).toBe(1);
    expect(bad.err).toMatch(/The file does not hold: log .*, event \d+/u);
    expect(bad.err).toContain('The file is as it was.');
    const fresh = new pg.Client({ connectionString: empty });
    await fresh.connect();
    expect((await fresh.query('SELECT 1 FROM event')).rows).toEqual([]);
    await fresh.end();
  });

  test('what is no store and what is no address are named', async () => {
    const directory = temporaryDirectory();
    expect(await move(directory, 'postgres://nowhere.invalid/x')).toMatchObject({ code: 2 });
    const { err, code } = await runProgram([
      'move',
      '--data-dir',
      directory,
      '--store',
      'mysql://x',
    ]);
    expect([code, err.split('\n')[0]]).toEqual([2, expect.stringContaining('STORE is an address')]);
    writeFileSync(join(directory, 'unhindered.sqlite'), readFileSync(import.meta.filename));
    const bad = await move(directory, 'postgres://nowhere.invalid/x');
    expect(bad.code).toBe(1);
    expect(bad.err).toContain('Not moved');
  });
});
