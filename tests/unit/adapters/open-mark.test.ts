import {
  copyFileSync,
  existsSync,
  openSync,
  closeSync,
  readFileSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openDatabase } from '../../../server/src/adapters/sqlite-open.ts';
import { StoreUnavailable } from '../../../server/src/adapters/store-unavailable.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

/** A store as a killed server leaves it: copied while it is open, with its log and its mark. */
const killed = (): string => {
  const directory = temporaryDirectory();
  const [file, left] = [join(directory, 'store.sqlite'), join(directory, 'left.sqlite')];
  const db = openDatabase(file);
  db.exec("INSERT INTO protocol VALUES ('ws', 'a', '1.0.0', 'hash', 'text')");
  for (const suffix of ['', '-wal', '.open']) copyFileSync(`${file}${suffix}`, `${left}${suffix}`);
  db.close();
  return left;
};

test('ST-12: a store without the log that its server left is refused by name, with what to do', () => {
  const file = killed();
  rmSync(`${file}-wal`);
  expect(() => openDatabase(file)).toThrow(StoreUnavailable);
  expect(() => openDatabase(file)).toThrow(
    /-wal is missing.*Put it back, or restore a backup.*remove .*\.open/u,
  );
});

test('ST-12: with its log it opens, and everything kept is there', () => {
  const db = openDatabase(killed());
  expect(db.prepare('SELECT count(*) AS n FROM protocol').get()).toEqual({ n: 1 });
  db.close();
});

test('ST-12: a clean end leaves neither log nor mark, and the loss of nothing is no loss', () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  openDatabase(file).close();
  expect(existsSync(`${file}-wal`)).toBe(false);
  expect(existsSync(`${file}.open`)).toBe(false);
  openDatabase(file).close();
});

test('ST-12: who removes the mark goes on without what is lost', () => {
  const file = killed();
  rmSync(`${file}-wal`);
  rmSync(`${file}.open`);
  const db = openDatabase(file);
  db.close();
});

test('ST-13: a damaged page is named before anything is served, and nothing is repaired', () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  const filled = openDatabase(file);
  const insert = filled.prepare("INSERT INTO protocol VALUES ('ws', ?, '1.0.0', 'hash', ?)");
  for (let i = 0; i < 50; i++) insert.run(`p${String(i)}`, 'x'.repeat(2000));
  filled.close();
  const pageSize = readFileSync(file).readUInt16BE(16);
  const pages = readFileSync(file).length / pageSize;
  let named = 0;
  for (let page = 2; page <= pages; page++) {
    const damaged = `${file}.${String(page)}`;
    copyFileSync(file, damaged);
    const handle = openSync(damaged, 'r+');
    writeSync(handle, Buffer.alloc(16, 0xff), 0, 16, (page - 1) * pageSize);
    closeSync(handle);
    const before = readFileSync(damaged);
    expect(() => openDatabase(damaged), `page ${String(page)}`).toThrow(
      /is damaged .*Put a backup in its place/u,
    );
    expect(readFileSync(damaged).equals(before)).toBe(true);
    named++;
  }
  expect(named).toBeGreaterThan(10);
});
