import type pg from 'pg';
import type { Ticket, TicketStore } from '../ports/ticket-store.ts';

/** Tickets that any process on the database may be shown. */
export class PostgresTickets implements TicketStore {
  readonly #pool: pg.Pool;
  readonly #workspace: string;

  constructor(pool: pg.Pool, workspace: string) {
    this.#pool = pool;
    this.#workspace = workspace;
  }

  async put(key: string, t: Ticket, now: number): Promise<void> {
    const w = this.#workspace;
    await this.#pool.query('DELETE FROM ticket WHERE workspace = $1 AND until < $2', [w, now]);
    await this.#pool.query('INSERT INTO ticket VALUES ($1, $2, $3, $4, $5, $6, $7)', [
      w,
      key,
      t.session,
      t.document,
      t.evaluation,
      t.panel,
      t.until,
    ]);
  }

  async take(key: string): Promise<Ticket | undefined> {
    const { rows } = await this.#pool.query<Record<keyof Ticket, string>>(
      `DELETE FROM ticket WHERE workspace = $1 AND key = $2
         RETURNING session, document, evaluation, panel, until`,
      [this.#workspace, key],
    );
    const [row] = rows;
    return row && { ...row, until: Number(row.until) };
  }
}
