import pg from 'pg';
import type { Workspace, Workspaces } from '../ports/workspaces.ts';

const UNIQUE_VIOLATION = '23505';

/** The organisations of one PostgreSQL database. */
export class PostgresWorkspaces implements Workspaces {
  readonly #pool: pg.Pool;

  constructor(pool: pg.Pool) {
    this.#pool = pool;
  }

  async all(): Promise<Workspace[]> {
    const sql = 'SELECT id, name FROM workspace ORDER BY created_at, id';
    return (await this.#pool.query<Workspace>(sql)).rows;
  }

  /** Throws with words when the name is taken, whichever process added it. */
  async add({ id, name }: Workspace, at: string): Promise<void> {
    try {
      await this.#pool.query('INSERT INTO workspace VALUES ($1, $2, $3)', [id, name, at]);
    } catch (error) {
      const taken = error instanceof pg.DatabaseError && error.code === UNIQUE_VIOLATION;
      throw taken ? new Error('there is a workspace of that name', { cause: error }) : error;
    }
  }

  async ofSession(id: string): Promise<string | undefined> {
    return this.#one('SELECT workspace FROM session WHERE id = $1', id);
  }

  async ofInvitation(by: { secret: string } | { code: string }): Promise<string | undefined> {
    const [column, value] = 'secret' in by ? ['secret', by.secret] : ['code', by.code];
    return this.#one(`SELECT workspace FROM invitation WHERE ${column} = $1`, value);
  }

  async #one(sql: string, value: string): Promise<string | undefined> {
    const { rows } = await this.#pool.query<{ workspace: string }>(sql, [value]);
    return rows[0]?.workspace;
  }
}
