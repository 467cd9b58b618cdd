import type pg from 'pg';
import type { Held } from '../ports/store.ts';

/** A process that stands still must not hold up the others for longer, milliseconds. */
const LONGEST = 10_000;

/**
 * SE-14: document rows locked for one transaction, on a connection of its own: writes by other processes wait until it
 * ends, so that what is read meanwhile is all there is.
 */
export class PostgresHold implements Held {
  readonly #db: pg.PoolClient;
  #over = false;

  private constructor(db: pg.PoolClient) {
    this.#db = db;
  }

  /** Takes the rows, in one order. Rejects with the database's error; the connection is given back then. */
  static async on(
    db: pg.PoolClient,
    workspace: string,
    documents: readonly string[],
  ): Promise<PostgresHold> {
    const hold = new PostgresHold(db);
    try {
      await db.query('BEGIN');
      await db.query(`SET LOCAL idle_in_transaction_session_timeout = ${String(LONGEST)}`);
      const sql =
        'SELECT id FROM document WHERE workspace = $1 AND id = ANY ($2) ORDER BY id FOR UPDATE';
      await db.query(sql, [workspace, documents]);
      return hold;
    } catch (error) {
      await hold.release();
      throw error;
    }
  }

  /** The connection with its transaction, for whoever ends it; undefined when it has ended. */
  take(): pg.PoolClient | undefined {
    if (this.#over) return undefined;
    this.#over = true;
    return this.#db;
  }

  async release(): Promise<void> {
    const db = this.take();
    if (!db) return;
    try {
      await db.query('ROLLBACK');
      db.release();
    } catch (error) {
      // A connection that cannot even roll back is not used again; its end frees the rows.
      db.release(error instanceof Error ? error : true);
    }
  }
}
