import { setTimeout as pause } from 'node:timers/promises';
import pg from 'pg';
import { describe, expect, onTestFinished, test } from 'vitest';
import { livePanel } from '../support/live-panel.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { startProgram } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

describe.skipIf(noPostgres)('a server on a database', () => {
  test('OP-5: told to stop while it reads what others changed, it ends without a fault', async () => {
    const { address, drop } = await freshDatabase();
    onTestFinished(drop);
    const server = await startProgram(temporaryDirectory(), 0, { STORE: address });
    onTestFinished(() => server.stop('SIGKILL'));
    const p = await livePanel(server.url, server.signInLink ?? '');
    const ada = await p.join('reviewer', 'Ada (invented)');
    await p.moderator.onEvaluation({ type: 'start-round' });
    await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
    const sheet = await ada.client.openSheet(1);
    sheet.set('chest-access', { answer: 3 });
    await sheet.saved();
    const holder = new pg.Client({ connectionString: address });
    await holder.connect();
    await holder.query('BEGIN; LOCK TABLE document_update IN ACCESS EXCLUSIVE MODE');
    const asker = new pg.Client({ connectionString: address });
    await asker.connect();
    // Its look at what others changed stands before the table that is held.
    const waiting = `SELECT 1 FROM pg_locks JOIN pg_database AS d ON d.oid = database
      WHERE NOT granted AND datname = current_database()`;
    await expect
      .poll(async () => (await asker.query(waiting)).rowCount, { timeout: 20_000 })
      .toBeGreaterThan(0);
    const stopped = server.stop();
    // A server that did not wait for that look would be through with its stop now, and close what the look reads.
    const stop = `SELECT 1 FROM event WHERE text LIKE '%server-stopped%'`;
    for (let i = 0; i < 10 && (await asker.query(stop)).rowCount === 0; i++) await pause(50);
    await pause(50);
    await holder.query('COMMIT');
    await stopped;
    await Promise.all([holder.end(), asker.end()]);
    expect(server.process.exitCode).toBe(0);
    expect(server.said()).toBe('');
  }, 60_000);
});
