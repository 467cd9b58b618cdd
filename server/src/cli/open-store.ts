import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type pg from 'pg';
import { openKeys, signerOf, type Keys } from '../adapters/key-files.ts';
import { moveToPostgres, type Moved } from '../adapters/move-to-postgres.ts';
import { openFault } from '../adapters/sqlite-faults.ts';
import { openDatabase } from '../adapters/sqlite-open.ts';
import { opensFirst, type SealedRows } from '../adapters/reseal.ts';
import { sqliteSealedRows } from '../adapters/sealed-rows.ts';
import { sheetBox } from '../adapters/sheet-box.ts';
import { SqliteStore } from '../adapters/sqlite-store.ts';
import { copyDatabase, SqliteWorkspaces } from '../adapters/sqlite-workspaces.ts';
import { refuseDamagedLog } from '../adapters/wal-check.ts';
import { StoreUnavailable } from '../adapters/store-unavailable.ts';
import type { Signer } from '../audit/key-chain.ts';
import type { Published } from '../flows/app.ts';
import { learnProtocols } from '../flows/published-protocols.ts';
import type { Store } from '../ports/store.ts';
import { checkProtocol } from '../protocol/check-protocol.ts';
import defaultProtocol from '../protocol/default-protocol.json' with { type: 'json' };
import { protocolText } from '../protocol/protocol-text.ts';

/** The workspace a store begins with. */
export const FIRST_WORKSPACE = 'ws_local';

/** The store's file in a data directory. */
export const storeFile = (directory: string): string => join(directory, 'unhindered.sqlite');

/** Words for the person who starts the server, where the fault is one of the file. */
export const unreadable = (file: string, error: unknown): unknown => {
  const words = openFault(file, error);
  return words === undefined ? error : new StoreUnavailable(words, { cause: error });
};

/** A store's file, open, with every workspace in it. */
export interface OpenFile {
  workspaces: SqliteWorkspaces;
  signer: Signer;
  /** The store of one workspace; all share the file. */
  store: (workspace: string) => SqliteStore;
  /** Writes a consistent copy of everything while it is in use. */
  copyTo: (file: string) => Promise<void>;
  /** Copies everything into a database that holds nothing yet; throws with words. */
  moveTo: (database: pg.ClientBase) => Promise<Moved>;
  keys: Keys;
  /** The updates of sheets, sealed. */
  sealed: SealedRows;
  close: () => void;
}

/**
 * Opens the store of a data directory (or another file with its keys); a new directory gets store and keys. Throws
 * a StoreUnavailable.
 */
export const openFile = (directory: string, file = storeFile(directory)): OpenFile => {
  mkdirSync(directory, { recursive: true, mode: 0o700 });
  const keys = openKeys(directory, existsSync(file));
  try {
    refuseDamagedLog(file);
    const db = openDatabase(file);
    return {
      workspaces: new SqliteWorkspaces(db),
      signer: signerOf(keys),
      store: (workspace) => new SqliteStore(db, workspace, sheetBox(keys.sheets)),
      copyTo: (to) => copyDatabase(db, to),
      moveTo: (to) => moveToPostgres(db, to),
      keys,
      sealed: sqliteSealedRows(db),
      close: () => void db.close(),
    };
  } catch (error) {
    throw unreadable(file, error);
  }
};

/**
 * ST-16: with a key of sealed sheets that is not the store's no panel begins: what was rated could not be read, and what is
 * rated from then on not be read together with it. Throws a StoreUnavailable.
 */
export const refuseOtherSheetsKey = async ({ sealed, keys }: OpenFile): Promise<void> => {
  if (await opensFirst(sealed, sheetBox(keys.sheets))) return;
  throw new StoreUnavailable(
    'keys/sheets.key does not open the sealed sheets of this store. It was changed since: put the present one back.',
  );
};

/** Publishes the protocol that ships with this version, and reads every published one (ST-11). */
export const publishedProtocols = async (store: Store): Promise<Map<string, Published>> => {
  const checked = checkProtocol(JSON.stringify(defaultProtocol));
  if (!checked.ok)
    throw new Error(`the shipped protocol is faulty: ${checked.faults[0]?.fault ?? ''}`);
  const { id, version } = checked.protocol;
  await store.commit({ protocols: [{ id, version, ...protocolText(checked.protocol) }] });
  const protocols = new Map<string, Published>();
  try {
    await learnProtocols({ store, protocols });
  } catch (error) {
    throw new StoreUnavailable(error instanceof Error ? error.message : String(error));
  }
  return protocols;
};
