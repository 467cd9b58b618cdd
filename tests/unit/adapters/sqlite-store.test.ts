import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test, vi } from 'vitest';
import { sheetBox } from '../../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../../server/src/adapters/sqlite-store.ts';
import { NotKept } from '../../../server/src/ports/not-kept.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

const box = sheetBox(new Uint8Array(32).fill(1));
const batch = { appends: [{ log: 'ev_1', from: 0, texts: ['a'] }] };

/** A store of an existing file whose next commits fail with one code after the other. */
const failing = async (codes: string[]): Promise<SqliteStore> => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  await new SqliteStore(file, 'ws_test', box).close();
  const fail = (): never => {
    throw new Database.SqliteError('injected', codes.shift() ?? 'SQLITE_ERROR');
  };
  const spy = vi.spyOn(Database.prototype, 'transaction').mockReturnValue(fail as never);
  const store = new SqliteStore(file, 'ws_test', box);
  spy.mockRestore();
  return store;
};

test.each([
  'SQLITE_IOERR_FSYNC',
  'SQLITE_IOERR_WRITE',
  'SQLITE_CORRUPT',
  'SQLITE_NOTADB',
  'SQLITE_READONLY_DBMOVED',
])('ST-3: after %s nothing more is written until a restart', async (code) => {
  const store = await failing([code]);
  expect(store.fault()).toBeNull();
  const told: string[] = [];
  store.told = (words) => told.push(words);
  await expect(store.commit(batch)).rejects.toThrow(`The disk failed (${code})`);
  expect(store.fault()).toContain(code);
  expect(told).toEqual([store.fault()]);
  await expect(store.commit(batch)).rejects.toThrow('The disk failed');
  await store.close();
});

test('ST-8: a full disk refuses with words, once to the operator, and does not end the store', async () => {
  const store = await failing(['SQLITE_FULL', 'SQLITE_FULL']);
  const told: string[] = [];
  store.told = (words) => told.push(words);
  for (let i = 0; i < 2; i++) {
    await expect(store.commit(batch)).rejects.toThrow(NotKept);
    expect(store.fault()).toBeNull();
    expect(store.trouble()).toContain('disk is full');
  }
  expect(told).toEqual([store.trouble()]);
  await store.close();
});

test('a fault that is not the disk’s is passed on as it is', async () => {
  const store = await failing(['SQLITE_CONSTRAINT']);
  await expect(store.commit(batch)).rejects.toThrow('injected');
  expect(store.trouble()).toBeNull();
  await store.close();
});

test('two workspaces in one file never see each other', async () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  const one = new SqliteStore(file, 'ws_one', box);
  await one.commit({
    ...batch,
    documents: [{ id: 'dc_1', log: 'ev_1', kind: 'sheet' }],
    people: [{ seat: 'st_1', panel: 'pn_1', name: 'Ada', salt: 's', lead: true }],
  });
  await one.close();
  const two = new SqliteStore(file, 'ws_two', box);
  expect(await two.logs()).toEqual([]);
  expect(await two.events('ev_1')).toEqual([]);
  expect(await two.load('dc_1')).toBeUndefined();
  expect(await two.people('pn_1')).toEqual([]);
  expect(await two.commit(batch)).toEqual({ ok: true, writes: [], numbers: [] });
  await two.close();
});

test('what was kept is there after closing and opening', async () => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  const one = new SqliteStore(file, 'ws_one', box);
  await one.commit(batch);
  await one.close();
  const again = new SqliteStore(file, 'ws_one', box);
  expect(await again.events('ev_1')).toEqual(['a']);
  await again.close();
});
