import { closeSync, existsSync, fsyncSync, openSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import type Database from 'better-sqlite3';
import { StoreUnavailable } from './store-unavailable.ts';

/** Stands beside a store while it is open; a server that ends cleanly takes it away. */
const markOf = (file: string): string => `${file}.open`;
const logOf = (file: string): string => `${file}-wal`;

const sync = (path: string): void => {
  const handle = openSync(path, 'r');
  fsyncSync(handle);
  closeSync(handle);
};

/**
 * ST-12: a store whose server did not end cleanly keeps its last commits in the write-ahead log beside it. When that
 * file is gone SQLite would open the rest in silence, without what was acknowledged last: it is refused by name.
 * Throws a StoreUnavailable.
 */
export const refuseLostLog = (file: string): void => {
  if (!existsSync(file) || !existsSync(markOf(file)) || existsSync(logOf(file))) return;
  throw new StoreUnavailable(
    `${logOf(file)} is missing: the server did not end cleanly, and what it kept last stands in that file. ` +
      `Put it back, or restore a backup. To go on without what is lost, remove ${markOf(file)}.`,
  );
};

/**
 * Marks an open store, and has its closing take the mark away: after everything stands in the store itself, and before
 * the log is removed, so that a crash in between never looks like a loss.
 */
export const markOpen = (db: Database.Database, file: string): void => {
  // The log is there once the first lock was taken; without one (a store in memory) there is nothing to lose.
  if (!existsSync(logOf(file))) return;
  closeSync(openSync(markOf(file), 'a', 0o600));
  if (process.platform !== 'win32') {
    sync(markOf(file));
    sync(dirname(file));
  }
  const close = db.close.bind(db);
  db.close = () => {
    try {
      if (db.open) {
        db.pragma('wal_checkpoint(TRUNCATE)');
        rmSync(markOf(file), { force: true });
      }
    } catch {
      // The disk failed: log and mark stay, and the next start reads both.
    }
    return close();
  };
};
