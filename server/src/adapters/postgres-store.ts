import pg from 'pg';
import { NotKept } from '../ports/not-kept.ts';
import type { Batch, Committed, Outcomes, Store } from '../ports/store.ts';
import { PostgresHold } from './postgres-hold.ts';
import { prepared } from './postgres-prepared.ts';
import { writeBatch } from './postgres-writer.ts';
import type { SheetBox } from './sheet-box.ts';
import { SqlReads, type Query } from './sql-reads.ts';
import { Conflict } from './store-conflict.ts';

/** Times a batch is tried again when the database chose it to break a deadlock. */
const ATTEMPTS = 4;

const isDeadlock = (error: unknown): boolean =>
  error instanceof pg.DatabaseError && (error.code === '40P01' || error.code === '40001');

/** The database refused or cannot be had for a reason of its own: full, stopping, out of reach. */
const isTrouble = (error: unknown): boolean =>
  error instanceof pg.DatabaseError
    ? /^(08|53|57|58)/u.test(error.code ?? '')
    : error instanceof Error && ('code' in error || /^(Connection|Client) /u.test(error.message));

const WORDS =
  'The database took nothing: this was not kept. It goes on by itself when the database answers again.';

/** A mark is 64 hexadecimal digits: it needs no quoting. */
const askMark = (mark: string): string =>
  `SELECT 1 FROM key_mark WHERE mark = '${/^[0-9a-f]{64}$/u.exec(mark)?.[0] ?? ''}'`;

const OTHER_KEYS =
  'The keys of the store were changed: this was not kept. Whoever keeps the server copies the keys folder to it and starts it again.';

/** `?` in the order of the values, as PostgreSQL counts them. */
const numbered = (sql: string): string => {
  let n = 0;
  return sql.replace(/\?/gu, () => `$${String(++n)}`);
};

/** One look into the index for each update, whatever the planner thinks of the table: it may think of an empty one. */
const READ_NAMED = `
  SELECT named.document, kept.n, kept.bytes, kept.at, d.kind
    FROM (SELECT ? AS workspace) AS here
    CROSS JOIN json_to_recordset(CAST(? AS json)) AS named (document TEXT, n BIGINT)
    CROSS JOIN LATERAL (
      SELECT u.n, u.bytes, u.at FROM document_update AS u
        WHERE u.workspace = here.workspace AND u.document = named.document AND u.n = named.n LIMIT 1
    ) AS kept
    JOIN document AS d ON d.workspace = here.workspace AND d.id = named.document
    ORDER BY kept.n`;

const asker = (pool: pg.Pool, workspace: string): Query => {
  const texts = new Map<string, string>();
  return async (sql, ...values) => {
    const text = texts.get(sql) ?? numbered(sql);
    texts.set(sql, text);
    const question = prepared(text, [workspace, ...values]);
    const { rows } = await pool.query<Record<string, unknown>>(question);
    return rows;
  };
};

/**
 * The store in a PostgreSQL database that several processes share. Events take the next number by comparing and
 * setting; writes to a document hold its row shared, freezing holds it alone. ST-6: what a commit returned for is
 * there after the process, or the database, was killed.
 */
export class PostgresStore extends SqlReads implements Store {
  readonly #pool: pg.Pool;
  readonly #workspace: string;
  readonly #box: SheetBox;
  readonly #mark: string | undefined;
  #barred = false;

  /** The pool is shared by all workspaces; who opened it closes it. `mark` names the keys it writes with (KR-5). */
  constructor(pool: pg.Pool, workspace: string, box: SheetBox, mark?: string) {
    super(asker(pool, workspace), box, READ_NAMED);
    this.#pool = pool;
    this.#workspace = workspace;
    this.#box = box;
    this.#mark = mark;
  }

  async commit(batch: Batch): Promise<Committed> {
    if (this.#barred) throw new NotKept(OTHER_KEYS);
    for (let attempt = 1; ; attempt++) {
      try {
        const outcomes = await this.#transaction(batch);
        if (batch.scrub === true) await this.#pool.query('VACUUM FULL person');
        return { ok: true, ...outcomes };
      } catch (error) {
        if (error instanceof Conflict) return { ok: false, conflict: error.kind };
        if (!isDeadlock(error) || attempt === ATTEMPTS) throw error;
      }
    }
  }

  async #transaction(batch: Batch): Promise<Outcomes> {
    const held = batch.held instanceof PostgresHold ? batch.held.take() : undefined;
    const db = held ?? (await this.#connect());
    let broken: Error | undefined;
    let committing = false;
    try {
      await this.#begin(db, held !== undefined);
      const outcomes = await writeBatch({ db, w: this.#workspace, box: this.#box }, batch);
      committing = true;
      await db.query('COMMIT');
      return outcomes;
    } catch (error) {
      await db.query('ROLLBACK').catch((fault: unknown) => {
        broken = fault instanceof Error ? fault : new Error(String(fault));
      });
      // Once the commit is on its way nobody knows: that is no promise that nothing was kept.
      throw !committing && isTrouble(error) ? new NotKept(WORDS, { cause: error }) : error;
    } finally {
      // A connection that cannot even roll back is not used again.
      db.release(broken);
    }
  }

  /**
   * KR-5: a server that was cut off while the keys were changed keeps nothing from then on: what it seals or signs nobody
   * could read or trust. Asked in one go with the beginning, within the transaction.
   */
  async #begin(db: pg.ClientBase, begun: boolean): Promise<void> {
    const ours = this.#mark === undefined ? 'SELECT 1' : askMark(this.#mark);
    const found: unknown = await db.query(`${begun ? '' : 'BEGIN; '}${ours}`);
    const last = (Array.isArray(found) ? found.at(-1) : found) as pg.QueryResult;
    if (last.rowCount !== 0) return;
    this.#barred = true;
    throw new NotKept(OTHER_KEYS);
  }

  async hold(documents: readonly string[]): Promise<PostgresHold> {
    const db = await this.#connect();
    try {
      return await PostgresHold.on(db, this.#workspace, documents);
    } catch (error) {
      throw isTrouble(error) ? new NotKept(WORDS, { cause: error }) : error;
    }
  }

  async #connect(): Promise<pg.PoolClient> {
    try {
      return await this.#pool.connect();
    } catch (error) {
      throw new NotKept(WORDS, { cause: error });
    }
  }

  /** Faults of the network pass; what the database did not confirm is asked for again, never taken for done. */
  fault(): string | null {
    return this.#barred ? OTHER_KEYS : null;
  }

  trouble(): string | null {
    return this.fault();
  }

  /** The pool goes on for the other workspaces. */
  async close(): Promise<void> {
    return Promise.resolve();
  }
}
