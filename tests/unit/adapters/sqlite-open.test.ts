import { spawnSync } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { openDatabase } from '../../../server/src/adapters/sqlite-open.ts';
import { MIGRATIONS } from '../../../server/src/adapters/sqlite-schema.ts';
import { StoreUnavailable } from '../../../server/src/adapters/store-unavailable.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

const read = (db: Database.Database, pragma: string): unknown =>
  db.pragma(pragma, { simple: true });

test('ST-1: synchronous is FULL on the first open and on every later one', () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  for (let open = 0; open < 3; open++) {
    const db = openDatabase(file);
    expect(read(db, 'synchronous')).toBe(2);
    expect(read(db, 'journal_mode')).toBe('wal');
    expect(read(db, 'locking_mode')).toBe('exclusive');
    expect(read(db, 'foreign_keys')).toBe(1);
    expect(read(db, 'trusted_schema')).toBe(0);
    expect(read(db, 'cell_size_check')).toBe(1);
    expect(read(db, 'secure_delete')).toBe(1);
    db.close();
  }
  // Why the setting is made anew each time: without it the package opens the same file at NORMAL.
  const plain = new Database(file);
  expect(read(plain, 'synchronous')).toBe(1);
  plain.close();
});

test('ST-2: a store that is open cannot be opened again, and the first is not disturbed', () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  const db = openDatabase(file);
  const before = performance.now();
  const other = spawnSync(
    process.execPath,
    [
      '-e',
      `new (require('better-sqlite3'))(${JSON.stringify(file)}, {timeout: 0}).exec('SELECT * FROM event')`,
    ],
    { cwd: join(import.meta.dirname, '../../..'), encoding: 'utf8' },
  );
  expect(other.status).not.toBe(0);
  expect(other.stderr).toContain('SQLITE_BUSY');
  expect(performance.now() - before).toBeLessThan(5000);
  expect(() => openDatabase(file)).toThrow(StoreUnavailable);
  expect(() => openDatabase(file)).toThrow('Another server has');
  db.prepare('INSERT INTO event VALUES (?, ?, ?, ?)').run('ws', 'ev', 0, 'text');
  db.close();
});

test.each([
  ['event', "UPDATE event SET text = 'other'", 'events are never changed'],
  ['event', 'DELETE FROM event', 'events are never deleted'],
  ['checkpoint', "UPDATE checkpoint SET note = 'other'", 'checkpoints are never changed'],
  ['checkpoint', 'DELETE FROM checkpoint', 'checkpoints are never deleted'],
  ['protocol', "UPDATE protocol SET text = 'other'", 'published protocol versions never change'],
  ['protocol', 'DELETE FROM protocol', 'published protocol versions are never deleted'],
])('a row of %s does not take "%s"', (_table, sql, words) => {
  const db = openDatabase(join(temporaryDirectory(), 'store.sqlite'));
  db.exec(`INSERT INTO event VALUES ('ws', 'ev', 0, 'text');
    INSERT INTO checkpoint VALUES ('ws', 'ev', 1, 'note');
    INSERT INTO protocol VALUES ('ws', 'p', '1.0.0', 'h', 'text');`);
  expect(() => db.exec(sql)).toThrow(words);
  db.close();
});

test('a store remembers the steps it has taken, and a newer one is not touched', () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  openDatabase(file).close();
  const db = new Database(file);
  expect(db.pragma('user_version', { simple: true })).toBe(MIGRATIONS.length);
  db.pragma(`user_version = ${String(MIGRATIONS.length + 1)}`);
  db.close();
  expect(() => openDatabase(file)).toThrow('newer version');
});

test('a file that is no database is refused and left as it is', () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  writeFileSync(file, 'this is a letter, and long enough to be looked at by the database library');
  expect(() => openDatabase(file)).toThrow();
  expect(existsSync(file)).toBe(true);
});
