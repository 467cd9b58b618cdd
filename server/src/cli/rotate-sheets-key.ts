import { existsSync } from 'node:fs';
import { changeSheetsKey, type ResealedStore } from '../adapters/change-sheets-key.ts';
import { barServers, letServersIn, readyToBar } from '../adapters/postgres-keys.ts';
import { openPostgres } from '../adapters/postgres-open.ts';
import { postgresSealedRows, sqliteSealedRows } from '../adapters/sealed-rows.ts';
import { openDatabase } from '../adapters/sqlite-open.ts';
import { refuseDamagedLog } from '../adapters/wal-check.ts';
import { FIRST_WORKSPACE, storeFile, unreadable } from './open-store.ts';
import { UsageError } from './read-flags.ts';

type Opened = ResealedStore & { close: () => Promise<void> };

const nothing = (): Promise<void> => Promise.resolve();

/** The file is held alone while it is open: no server can be at work. */
const inFile = (file: string): Opened => {
  try {
    refuseDamagedLog(file);
    const db = openDatabase(file);
    return {
      rows: sqliteSealedRows(db),
      ready: nothing,
      begin: nothing,
      // What was sealed with the old key goes from the write-ahead log too.
      end: async () => Promise.resolve(void db.pragma('wal_checkpoint(TRUNCATE)')),
      close: async () => Promise.resolve(void db.close()),
    };
  } catch (error) {
    throw unreadable(file, error);
  }
};

const inDatabase = async (address: string, directory: string): Promise<Opened> => {
  const pool = await openPostgres(address, () => undefined);
  return {
    rows: postgresSealedRows(pool),
    ready: (old, next) => readyToBar(pool, FIRST_WORKSPACE, { old, next, directory }),
    begin: (old, next) => barServers(pool, FIRST_WORKSPACE, { old, next, directory }),
    end: async (old, next) => {
      // What was sealed with the old key stays in the table's free space until it is written anew.
      await pool.query('VACUUM FULL document_update');
      await letServersIn(pool, FIRST_WORKSPACE, { old, next });
    },
    close: () => pool.end(),
  };
};

const open = (directory: string, address: string | null): Opened | Promise<Opened> => {
  const file = storeFile(directory);
  if (address === null) {
    if (existsSync(file)) return inFile(file);
    throw new UsageError(
      `There is no store in ${directory}. If it is a database, name it with --store or STORE.`,
    );
  }
  if (!existsSync(file)) return inDatabase(address, directory);
  throw new UsageError(
    `${file} is sealed with the same key as the database. Move it out of ${directory} first, or go without --store.`,
  );
};

/** `rotate-key --sheets`: gives the sheets of a store, whose servers are stopped, another key. Gives words for the operator. */
export const rotateSheetsKey = async (
  directory: string,
  address: string | null,
): Promise<string> => {
  const store = await open(directory, address);
  try {
    const count = await changeSheetsKey(directory, store);
    return [
      `Every sheet is sealed with a new key (${String(count)} edits sealed again and read back); the old one is kept nowhere.`,
      `Keep a copy of ${directory}/keys somewhere else.`,
      'Backups and files put aside before now need the old key: keep your copy of it with them (restore --sheets-key), or delete both.',
      ...(address === null
        ? []
        : [
            'Copy that folder to each other server before it is started: with the old key it is refused.',
          ]),
    ].join('\n');
  } finally {
    await store.close();
  }
};
