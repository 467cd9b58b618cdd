import Database from 'better-sqlite3';
import { markOpen, refuseLostLog } from './open-mark.ts';
import { openFault } from './sqlite-faults.ts';
import { MIGRATIONS } from './sqlite-schema.ts';
import { StoreUnavailable } from './store-unavailable.ts';

/**
 * Opens the database file. ST-1: WAL with synchronous FULL, set and read back on every open: the package would
 * open an existing WAL file at NORMAL, which loses acknowledged writes at a power cut. ST-2: the lock is
 * exclusive, so a second server on the same store fails at once instead of writing along.
 */
export const openDatabase = (file: string): Database.Database => {
  refuseLostLog(file);
  const db = new Database(file, { timeout: 0 });
  try {
    db.pragma('locking_mode = EXCLUSIVE');
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    db.pragma('trusted_schema = OFF');
    db.pragma('cell_size_check = ON');
    db.pragma('secure_delete = ON');
    db.pragma('fullfsync = ON');
    db.pragma('checkpoint_fullfsync = ON');
    // Up to 32 MB of pages: with 2 MB the places where many documents grow are read again at every commit.
    db.pragma('cache_size = -32768');
    // Takes the exclusive lock now, not at the first write.
    db.exec('BEGIN EXCLUSIVE; COMMIT');
  } catch (error) {
    db.close();
    if (error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY')) {
      throw new StoreUnavailable(`Another server has ${file} open. Stop it first.`);
    }
    const words = openFault(file, error);
    throw words === undefined ? error : new StoreUnavailable(words, { cause: error });
  }
  const settings = [
    db.pragma('journal_mode', { simple: true }),
    db.pragma('synchronous', { simple: true }),
  ];
  if (settings[0] !== 'wal' || settings[1] !== 2) {
    db.close();
    throw new StoreUnavailable(`${file} does not keep writes safely here: ${settings.join(', ')}.`);
  }
  try {
    refuseDamage(db, file);
    migrate(db);
    markOpen(db, file);
    return db;
  } catch (error) {
    db.close();
    const words = openFault(file, error);
    throw words === undefined ? error : new StoreUnavailable(words, { cause: error });
  }
};

/** ST-13: a store is read through before it serves; damage is named, and nothing is repaired in silence. */
const refuseDamage = (db: Database.Database, file: string): void => {
  let found: unknown;
  try {
    found = db.pragma('quick_check(1)', { simple: true });
  } catch (error) {
    found = error instanceof Database.SqliteError ? error.code : error;
  }
  if (found === 'ok') return;
  const what = String(found)
    .replaceAll(/\*\*\*[^*]*\*\*\*|\s+/gu, ' ')
    .trim();
  throw new StoreUnavailable(`${file} is damaged (${what}). Put a backup in its place.`);
};

const migrate = (db: Database.Database): void => {
  const version = Number(db.pragma('user_version', { simple: true }));
  if (version > MIGRATIONS.length) {
    throw new StoreUnavailable('The store was written by a newer version. Update this server.');
  }
  MIGRATIONS.slice(version).forEach((sql, i) => {
    db.transaction(() => {
      db.exec(sql);
      db.pragma(`user_version = ${String(version + i + 1)}`);
    })();
  });
};
