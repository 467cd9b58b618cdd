import { cpSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { describe, expect, onTestFinished, test } from 'vitest';
import {
  changeSheetsKey,
  type ResealedStore,
} from '../../server/src/adapters/change-sheets-key.ts';
import {
  markOf,
  openKeys,
  readKeys,
  rotateSigningKey,
  type Keys,
} from '../../server/src/adapters/key-files.ts';
import {
  agreeOnKeys,
  barServers,
  letServersIn,
  readyToBar,
} from '../../server/src/adapters/postgres-keys.ts';
import { openPostgres } from '../../server/src/adapters/postgres-open.ts';
import { PostgresStore } from '../../server/src/adapters/postgres-store.ts';
import { postgresSealedRows, sqliteSealedRows } from '../../server/src/adapters/sealed-rows.ts';
import { sheetBox } from '../../server/src/adapters/sheet-box.ts';
import { openDatabase } from '../../server/src/adapters/sqlite-open.ts';
import { SqliteStore } from '../../server/src/adapters/sqlite-store.ts';
import { NotKept } from '../../server/src/ports/not-kept.ts';
import type { Store } from '../../server/src/ports/store.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const WORKSPACE = 'ws_local';
/** Rows in one commit: small, so that a change has many commits to be cut at. */
const BATCH = 3;

/** A store as one process after another opens it. */
interface Place {
  directory: string;
  /** As a server has it, with the keys given. */
  store: (keys: Keys) => Promise<Store>;
  /** As the change of key has it. */
  changing: () => Promise<ResealedStore>;
}

const nothing = (): Promise<void> => Promise.resolve();

const inFile = (): Promise<Place> => {
  const directory = temporaryDirectory();
  const file = join(directory, 'store.sqlite');
  let db: ReturnType<typeof openDatabase> | undefined;
  const opened = () => {
    db?.close();
    db = openDatabase(file);
    return db;
  };
  onTestFinished(() => void db?.close());
  return Promise.resolve({
    directory,
    store: (keys) => Promise.resolve(new SqliteStore(opened(), WORKSPACE, sheetBox(keys.sheets))),
    changing: () =>
      Promise.resolve({
        rows: sqliteSealedRows(opened()),
        ready: nothing,
        begin: nothing,
        end: nothing,
      }),
  });
};

const fail = (error: Error): never => {
  throw error;
};

const inDatabase = async (): Promise<Place & { address: string }> => {
  const directory = temporaryDirectory();
  const { address, drop } = await freshDatabase();
  let pool: pg.Pool | undefined;
  onTestFinished(async () => {
    await pool?.end();
    await drop();
  });
  const opened = async () => {
    await pool?.end();
    pool = await openPostgres(address, fail);
    return pool;
  };
  return {
    address,
    directory,
    store: async (keys) => {
      const now = await opened();
      await agreeOnKeys(now, WORKSPACE, keys, directory);
      return new PostgresStore(now, WORKSPACE, sheetBox(keys.sheets), markOf(keys));
    },
    changing: async () => {
      const now = await opened();
      return {
        rows: postgresSealedRows(now),
        ready: (old, next) => readyToBar(now, WORKSPACE, { old, next, directory }),
        begin: (old, next) => barServers(now, WORKSPACE, { old, next, directory }),
        end: (old, next) => letServersIn(now, WORKSPACE, { old, next }),
      };
    },
  };
};

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const SHEETS = ['dc_1', 'dc_2'];
const EDITS = 5;

const write = (document: string, n: number) => ({
  document,
  seat: 'st_1',
  device: 'dv_1',
  at: '2026-03-02T09:00:00.000Z',
  newClients: [],
  bytes: bytesOf(`${document} edit ${String(n)}`),
});

/** Two sheets and a board with five edits each. */
const fill = async (store: Store): Promise<void> => {
  const all = [...SHEETS, 'dc_board'];
  await store.commit({
    documents: all.map((id) => ({ id, log: 'ev_1', kind: id === 'dc_board' ? 'board' : 'sheet' })),
    writes: all.flatMap((id) => Array.from({ length: EDITS }, (_, n) => write(id, n))),
  });
};

const readAll = async (store: Store): Promise<string[]> => {
  const texts: string[] = [];
  for (const id of [...SHEETS, 'dc_board']) {
    const { updates } = (await store.load(id)) ?? { updates: [] };
    texts.push(...updates.map((u) => new TextDecoder().decode(u.bytes)));
  }
  return texts;
};

const EVERYTHING = [...SHEETS, 'dc_board'].flatMap((id) =>
  Array.from({ length: EDITS }, (_, n) => `${id} edit ${String(n)}`),
);

class Cut extends Error {}

/** The same store, whose program is killed before or after the k-th thing that it does to it. */
const cutAt = (store: ResealedStore, k: number, after: boolean): ResealedStore => {
  let count = 0;
  const may = async <T>(work: () => Promise<T>): Promise<T> => {
    const here = count++ === k;
    if (here && !after) throw new Cut();
    const done = await work();
    if (here) throw new Cut();
    return done;
  };
  const { rows } = store;
  return {
    rows: {
      after: (last, n) => rows.after(last, n),
      replace: (changed) => may(() => rows.replace(changed)),
    },
    ready: (old, next) => may(() => store.ready(old, next)),
    begin: (old, next) => may(() => store.begin(old, next)),
    end: (old, next) => may(() => store.end(old, next)),
  };
};

const keysOnDisk = (directory: string): string =>
  readdirSync(join(directory, 'keys'))
    .map((name) => readFileSync(join(directory, 'keys', name), 'utf8'))
    .join();

const hex = (key: Uint8Array): string => Buffer.from(key).toString('hex');

/** Begins a change that is cut at its k-th step; whether it came so far. */
const cutOff = async (place: Place, k: number, after: boolean): Promise<boolean> => {
  const store = cutAt(await place.changing(), k, after);
  try {
    await changeSheetsKey(place.directory, store, BATCH);
    return false;
  } catch (error) {
    if (error instanceof Cut) return true;
    throw error;
  }
};

describe.each<[string, () => Promise<Place>, boolean]>([
  ['a file', inFile, false],
  ['a database', inDatabase, noPostgres],
])('the key of sealed sheets in %s', (_name, make, absent) => {
  test.skipIf(absent)(
    'KR-4: cut off before and after every step, it goes on, and nothing is lost',
    async () => {
      const place = await make();
      const { directory } = place;
      await fill(await place.store(openKeys(directory, false)));
      let cuts = 0;
      for (const after of [false, true]) {
        for (let k = 0; ; k++) {
          const old = readKeys(directory, true);
          const cut = await cutOff(place, k, after);
          if (!cut) break;
          cuts++;
          // Until the end the old key is there; no server starts on half of it.
          expect(keysOnDisk(directory)).toContain(hex(old.sheets));
          if (keysOnDisk(directory).split(',').length > 2) {
            expect(() => openKeys(directory, true)).toThrow(/rotate-key --sheets/u);
          }
          await changeSheetsKey(directory, await place.changing(), BATCH);
          const now = openKeys(directory, true);
          expect(hex(now.sheets)).not.toBe(hex(old.sheets));
          expect(now.signing).toEqual(old.signing);
          expect(keysOnDisk(directory)).not.toContain(hex(old.sheets));
          expect(await readAll(await place.store(now)), `cut ${String(k)}`).toEqual(EVERYTHING);
        }
      }
      // Ten rows of sheets in commits of three, and what goes before and after them.
      expect(cuts).toBe(2 * (4 + 3));
    },
  );

  test.skipIf(absent)('KR-4: with a key that is not the store’s nothing is changed', async () => {
    const place = await make();
    const { directory } = place;
    const right = openKeys(directory, false);
    await fill(await place.store(right));
    const file = join(directory, 'keys', 'sheets.key');
    writeFileSync(file, `${'5'.repeat(64)}\n`);
    const before = keysOnDisk(directory);
    const changing = changeSheetsKey(directory, await place.changing(), BATCH);
    await expect(changing).rejects.toThrow(/keys/u);
    expect(keysOnDisk(directory)).toBe(before);
    writeFileSync(file, `${hex(right.sheets)}\n`);
    expect(await readAll(await place.store(openKeys(directory, true)))).toEqual(EVERYTHING);
  });
});

describe.skipIf(noPostgres)('a database whose sheets get another key', () => {
  test('KR-5: a server at work holds the change back, and one that was cut off keeps nothing after it', async () => {
    const place = await inDatabase();
    const { address, directory } = place;
    const old = openKeys(directory, false);
    await fill(await place.store(old));
    // Connects when it is first asked: until then nobody sees it, as when a network is cut.
    const cutOffPool = new pg.Pool({ connectionString: address, application_name: 'cut off' });
    onTestFinished(() => cutOffPool.end());
    const stale = new PostgresStore(cutOffPool, WORKSPACE, sheetBox(old.sheets), markOf(old));
    const atWork = await openPostgres(address, fail);
    await expect(changeSheetsKey(directory, await place.changing())).rejects.toThrow(
      /Stop every server/u,
    );
    await atWork.end();
    await changeSheetsKey(directory, await place.changing());

    const late = { writes: [write('dc_1', 99)] };
    await expect(stale.commit(late)).rejects.toBeInstanceOf(NotKept);
    expect(stale.fault()).toMatch(/keys of the store were changed/u);
    await expect(stale.commit(late)).rejects.toBeInstanceOf(NotKept);
    await cutOffPool.query('SELECT 1');
    const now = await place.store(openKeys(directory, true));
    expect(await readAll(now)).toEqual(EVERYTHING);
    expect(await now.commit(late)).toMatchObject({ ok: true, writes: ['kept'] });
  });

  test('KR-5: with the old keys, or while it is not ended, no server starts', async () => {
    const place = await inDatabase();
    const { address, directory } = place;
    const old = openKeys(directory, false);
    await fill(await place.store(old));
    const elsewhere = temporaryDirectory();
    cpSync(join(directory, 'keys'), join(elsewhere, 'keys'), { recursive: true });
    // Cut after the store was barred.
    expect(await cutOff(place, 1, true)).toBe(true);
    const pool = await openPostgres(address, fail);
    await expect(agreeOnKeys(pool, WORKSPACE, old, elsewhere)).rejects.toThrow(/not ended/u);
    await pool.end();
    await changeSheetsKey(directory, await place.changing());
    await expect(place.store(openKeys(elsewhere, true))).rejects.toThrow(
      /not those of this store/u,
    );
  });

  test('KR-3: a dump of before, whose sheets another key sealed, is not taken over by the signing key alone', async () => {
    const place = await inDatabase();
    const { directory } = place;
    const old = openKeys(directory, false);
    await fill(await place.store(old));
    rotateSigningKey(directory);
    const file = join(directory, 'keys', 'sheets.key');
    writeFileSync(file, `${'5'.repeat(64)}\n`);
    await expect(place.store(openKeys(directory, true))).rejects.toThrow(
      /not those of this store/u,
    );
    writeFileSync(file, `${hex(old.sheets)}\n`);
    expect(await readAll(await place.store(openKeys(directory, true)))).toEqual(EVERYTHING);
  });
});
