import { closeSync, fsyncSync, openSync, renameSync } from 'node:fs';
import type Database from 'better-sqlite3';
import type { Workspace, Workspaces } from '../ports/workspaces.ts';

/** Writes a consistent copy, a few pages at a time, while everything goes on. The file appears whole. */
export const copyDatabase = async (db: Database.Database, file: string): Promise<void> => {
  const part = `${file}.part`;
  await db.backup(part);
  const handle = openSync(part, 'r+');
  fsyncSync(handle);
  closeSync(handle);
  renameSync(part, file);
};

/** The organisations of one SQLite file. */
export class SqliteWorkspaces implements Workspaces {
  readonly #db: Database.Database;

  constructor(db: Database.Database) {
    this.#db = db;
  }

  async all(): Promise<Workspace[]> {
    const rows = this.#db.prepare('SELECT id, name FROM workspace ORDER BY created_at, id').all();
    return Promise.resolve(rows as Workspace[]);
  }

  async add({ id, name }: Workspace, at: string): Promise<void> {
    this.#db.prepare('INSERT INTO workspace VALUES (?, ?, ?)').run(id, name, at);
    return Promise.resolve();
  }

  async ofSession(id: string): Promise<string | undefined> {
    return Promise.resolve(this.#one('SELECT workspace FROM session WHERE id = ?', id));
  }

  async ofInvitation(by: { secret: string } | { code: string }): Promise<string | undefined> {
    const [column, value] = 'secret' in by ? ['secret', by.secret] : ['code', by.code];
    return Promise.resolve(
      this.#one(`SELECT workspace FROM invitation WHERE ${column} = ?`, value),
    );
  }

  #one(sql: string, value: string): string | undefined {
    const row = this.#db.prepare(sql).get(value) as { workspace: string } | undefined;
    return row?.workspace;
  }
}
