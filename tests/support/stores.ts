import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { MemoryStore } from '../../server/src/adapters/memory-store.ts';
import { openPostgres } from '../../server/src/adapters/postgres-open.ts';
import { PostgresStore } from '../../server/src/adapters/postgres-store.ts';
import { sheetBox } from '../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../server/src/adapters/sqlite-store.ts';
import type { Store } from '../../server/src/ports/store.ts';
import { freshDatabase, noPostgres } from './postgres.ts';
import { temporaryDirectory } from './temporary-directory.ts';

const box = sheetBox(new Uint8Array(32).fill(7));

/** One place to keep things, and how another process opens the same. */
type Reopen = () => Promise<Store>;

const memory = (): Promise<Reopen> => {
  const store = new MemoryStore();
  return Promise.resolve(() => Promise.resolve(store));
};

const sqlite = (): Promise<Reopen> => {
  const file = join(temporaryDirectory(), 'store.sqlite');
  let open: SqliteStore | undefined;
  return Promise.resolve(async () => {
    await open?.close();
    const store = new SqliteStore(file, 'ws_test', box);
    open = store;
    onTestFinished(() => store.close().catch(() => undefined));
    return open;
  });
};

const postgres = async (): Promise<Reopen> => {
  const database = await freshDatabase();
  onTestFinished(() => database.drop());
  return async () => {
    const pool = await openPostgres(database.address, (error) => {
      throw error;
    });
    onTestFinished(() => pool.end());
    return new PostgresStore(pool, 'ws_test', box);
  };
};

/** Every store there is; each opening of one begins with what the one before kept. The SQLite file is held by one at a time. */
export const STORES: [name: string, make: () => Promise<Reopen>, absent: boolean][] = [
  ['in memory', memory, false],
  ['in SQLite', sqlite, false],
  ['in PostgreSQL', postgres, noPostgres],
];
