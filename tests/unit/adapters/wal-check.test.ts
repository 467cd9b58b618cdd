import { readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { openDatabase } from '../../../server/src/adapters/sqlite-open.ts';
import { damagedFrame, refuseDamagedLog } from '../../../server/src/adapters/wal-check.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

/** The log of a store that is open, with `steps` commits of one event. */
const logOf = (steps: number): { file: string; log: Buffer } => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  openDatabase(file).close();
  const db = openDatabase(file);
  const insert = db.prepare("INSERT INTO event VALUES ('ws', 'ev', ?, ?)");
  for (let n = 0; n < steps; n++) insert.run(n, `event ${String(n)} ${'x'.repeat(300)}`);
  const log = readFileSync(`${file}-wal`);
  const copy = join(temporaryDirectory(), 'store.sqlite');
  writeFileSync(copy, readFileSync(file));
  db.close();
  return { file: copy, log };
};

const eventsWith = (file: string, log: Buffer): number => {
  writeFileSync(`${file}-wal`, log);
  const db = new Database(file);
  const n = db.prepare('SELECT count(*) FROM event').pluck().get() as number;
  db.close();
  return n;
};

const FRAME = 24 + 4096;

test('ST-9: a whole log, and one torn where it was being written, are no damage', () => {
  const { log } = logOf(12);
  expect(log.length).toBeGreaterThanOrEqual(32 + 12 * FRAME);
  expect(damagedFrame(log)).toBeUndefined();
  expect(damagedFrame(Buffer.alloc(0))).toBeUndefined();
  for (const cut of [1, 100, FRAME, FRAME + 7]) {
    expect(damagedFrame(log.subarray(0, log.length - cut)), String(cut)).toBeUndefined();
  }
  const torn = Buffer.from(log);
  torn.fill(0, log.length - 2000);
  expect(damagedFrame(torn)).toBeUndefined();
});

test('ST-9: a bit that turns anywhere before the last step is found, by the number of its page', () => {
  const { file, log } = logOf(12);
  const last = log.length - 3 * FRAME;
  let forgotten = 0;
  for (let at = 0; at < last; at += 509) {
    const bad = Buffer.from(log);
    bad[at] = (bad[at] ?? 0) ^ 1;
    const frame = at < 32 ? 0 : Math.floor((at - 32) / FRAME) + 1;
    expect(damagedFrame(bad), `byte ${String(at)}`).toBe(frame);
    if (at % 5090 === 0 && eventsWith(file, bad) < 12) forgotten++;
  }
  // Why it matters: the library opens such a log without a word, and has forgotten events.
  expect(forgotten).toBeGreaterThan(5);
});

test('ST-9: a store with a damaged log is refused with words and left as it is', () => {
  const { file, log } = logOf(12);
  const bad = Buffer.from(log);
  bad[32 + FRAME + 500] = (bad[32 + FRAME + 500] ?? 0) ^ 1;
  writeFileSync(`${file}-wal`, bad);
  expect(() => refuseDamagedLog(file)).toThrow(/-wal is damaged at page 2: .*put a backup/u);
  expect(readFileSync(`${file}-wal`).equals(bad)).toBe(true);
  truncateSync(`${file}-wal`, 0);
  expect(() => refuseDamagedLog(file)).not.toThrow();
});
