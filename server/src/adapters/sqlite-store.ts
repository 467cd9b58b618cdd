import type Database from 'better-sqlite3';
import type { Batch, Committed, Outcomes, Store } from '../ports/store.ts';
import { NotKept } from '../ports/not-kept.ts';
import type { SheetBox } from './sheet-box.ts';
import { SqlReads, type Query } from './sql-reads.ts';
import { diskFault, diskFull } from './sqlite-faults.ts';
import { openDatabase } from './sqlite-open.ts';
import { refuseDamagedLog } from './wal-check.ts';
import { sqliteWriter, type Writer } from './sqlite-writer.ts';
import { Conflict } from './store-conflict.ts';
import type { Row } from './store-rows.ts';

/** What is known of the disk under a file: it is the same for every workspace on it. */
interface Health {
  fault: string | null;
  full: string | null;
}

const known = new WeakMap<Database.Database, Health>();

const healthOf = (db: Database.Database): Health => {
  const health = known.get(db) ?? { fault: null, full: null };
  known.set(db, health);
  return health;
};

/** A file that is opened for one store alone is closed with it; an open one is shared with other workspaces. */
const opened = (file: string | Database.Database): { db: Database.Database; own: boolean } => {
  if (typeof file !== 'string') return { db: file, own: false };
  refuseDamagedLog(file);
  return { db: openDatabase(file), own: true };
};

const READ_NAMED = `
  SELECT u.document, u.n, u.bytes, u.at, d.kind
    FROM (SELECT ? AS workspace) AS here
    CROSS JOIN json_each(?) AS named
    CROSS JOIN document_update AS u ON u.workspace = here.workspace
      AND u.document = named.value ->> 'document' AND u.n = named.value ->> 'n'
    JOIN document AS d ON d.workspace = u.workspace AND d.id = u.document
    ORDER BY u.n`;

/** Asks a database, each question prepared once; `blame` hears of what went wrong. */
const asker = (
  db: Database.Database,
  workspace: string,
  blame: (error: unknown) => void,
): Query => {
  const statements = new Map<string, Database.Statement>();
  return async (sql, ...values) => {
    const statement = statements.get(sql) ?? db.prepare(sql);
    statements.set(sql, statement);
    try {
      return await Promise.resolve(statement.all(workspace, ...values) as Row[]);
    } catch (error) {
      blame(error);
      throw error;
    }
  };
};

/**
 * The store in one SQLite file, for one workspace. Every key begins with the workspace's id. ST-6: what a commit
 * returned for is there after the process was killed.
 */
export class SqliteStore extends SqlReads implements Store {
  readonly #db: Database.Database;
  readonly #write: Writer;
  readonly #commit: (batch: Batch) => Outcomes;
  readonly #own: boolean;
  readonly #health: Health;
  /** Told once when nothing can be kept any more, or for the time being. */
  told: (words: string, error: unknown) => void = () => undefined;

  /** On a file of its own, or on one that is open already and is shared with other workspaces. */
  constructor(file: string | Database.Database, workspace: string, box: SheetBox) {
    const { db, own } = opened(file);
    super(
      asker(db, workspace, (error) => void this.#blame(error)),
      box,
      READ_NAMED,
    );
    this.#own = own;
    this.#db = db;
    this.#health = healthOf(db);
    this.#write = sqliteWriter(db, workspace, box);
    this.#commit = db.transaction((batch: Batch) => this.#write(batch));
  }

  /** Remembers what an error says about the disk; words when it is at fault. */
  #blame(error: unknown): string | undefined {
    const before = this.trouble();
    this.#health.fault ??= diskFault(error) ?? null;
    this.#health.full = diskFull(error) ?? null;
    const now = this.trouble();
    if (now !== null && now !== before) this.told(now, error);
    return now ?? undefined;
  }

  async commit(batch: Batch): Promise<Committed> {
    if (this.#health.fault !== null) throw new NotKept(this.#health.fault);
    try {
      const outcomes = this.#commit(batch);
      if (batch.scrub === true) this.#scrub();
      this.#health.full = null;
      return await Promise.resolve({ ok: true, ...outcomes });
    } catch (error) {
      if (error instanceof Conflict) return { ok: false, conflict: error.kind };
      const words = this.#blame(error);
      throw words === undefined ? error : new NotKept(words, { cause: error });
    }
  }

  /** ST-7: what was replaced is zeroed in the file (secure_delete) and goes from the write-ahead log too. */
  #scrub(): void {
    this.#db.pragma('wal_checkpoint(TRUNCATE)');
  }

  fault(): string | null {
    return this.#health.fault;
  }

  trouble(): string | null {
    return this.#health.fault ?? this.#health.full;
  }

  async close(): Promise<void> {
    if (this.#own) this.#db.close();
    return Promise.resolve();
  }
}
