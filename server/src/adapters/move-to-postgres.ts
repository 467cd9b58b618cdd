import { createHash, type Hash } from 'node:crypto';
import type Database from 'better-sqlite3';
import type pg from 'pg';

/** A table of the file that goes over, and how its rows are told apart and ordered. */
interface Table {
  name: string;
  columns: readonly string[];
  key: readonly string[];
  /** Tables that its rows point at. */
  needs: readonly string[];
}

/** How many rows of each table went over. */
export type Moved = ReadonlyMap<string, number>;

/** Rows sent at once. */
const ROWS = 500;

interface ColumnInfo {
  name: string;
  pk: number;
}

const tableOf = (db: Database.Database, name: string): Table => {
  const columns = db.pragma(`table_info(${name})`) as ColumnInfo[];
  const foreign = db.pragma(`foreign_key_list(${name})`) as { table: string }[];
  const key = columns.filter((c) => c.pk > 0).toSorted((a, b) => a.pk - b.pk);
  return {
    name,
    columns: columns.map((c) => c.name),
    key: key.map((c) => c.name),
    needs: [...new Set(foreign.map((f) => f.table))],
  };
};

/** Every table of the file, those that others point at first. */
const tablesOf = (db: Database.Database): Table[] => {
  const names = db
    .prepare("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    .pluck()
    .all() as string[];
  const tables = names.toSorted().map((name) => tableOf(db, name));
  return tables.toSorted((a, b) => Number(a.needs.length > 0) - Number(b.needs.length > 0));
};

/** One value as both databases hold it: bytes as bytes, whole numbers as their digits. */
const plain = (value: unknown): string | Uint8Array =>
  value instanceof Uint8Array
    ? value
    : JSON.stringify(typeof value === 'bigint' ? Number(value) : value);

const digest = (hash: Hash, values: readonly unknown[]): void => {
  for (const value of values) {
    const text = plain(value);
    hash.update(`${String(text.length)}:`).update(text);
  }
};

/** Whole numbers that PostgreSQL's driver gives as text, as numbers. */
const asKept = (value: unknown, numeric: boolean): unknown =>
  numeric && typeof value === 'string' ? Number(value) : value;

const insert = async (
  to: pg.ClientBase,
  table: Table,
  rows: readonly unknown[][],
): Promise<void> => {
  let n = 0;
  const places = rows.map((row) => `(${row.map(() => `$${String(++n)}`).join(', ')})`);
  const columns = table.columns.map((c) => `"${c}"`).join(', ');
  await to.query(
    `INSERT INTO ${table.name} (${columns}) OVERRIDING SYSTEM VALUE VALUES ${places.join(', ')}`,
    rows.flat(),
  );
};

const copy = async (db: Database.Database, to: pg.ClientBase, table: Table) => {
  const order = table.key.map((c) => `"${c}"`).join(', ');
  const hash = createHash('sha256');
  let count = 0;
  let waiting: unknown[][] = [];
  for (const row of db.prepare(`SELECT * FROM ${table.name} ORDER BY ${order}`).raw().iterate()) {
    const values = row as unknown[];
    digest(hash, values);
    count++;
    if (waiting.push(values) < ROWS) continue;
    await insert(to, table, waiting);
    waiting = [];
  }
  if (waiting.length > 0) await insert(to, table, waiting);
  return { count, digest: hash.digest('hex') };
};

/** The digest of what arrived, in the order of the file. */
const arrived = async (to: pg.ClientBase, table: Table): Promise<string> => {
  const hash = createHash('sha256');
  const columns = table.columns.map((c) => `"${c}"`).join(', ');
  const order = table.key.map((c) => `"${c}"`).join(', ');
  await to.query(
    `DECLARE moved NO SCROLL CURSOR FOR SELECT ${columns} FROM ${table.name} ORDER BY ${order}`,
  );
  for (;;) {
    const { rows, fields } = await to.query<unknown[]>({
      text: `FETCH ${String(ROWS)} FROM moved`,
      rowMode: 'array',
    });
    // 20 is bigint, which the driver gives as text.
    const numeric = fields.map((f) => f.dataTypeID === 20);
    for (const row of rows)
      digest(
        hash,
        row.map((v, i) => asKept(v, numeric[i] ?? false)),
      );
    if (rows.length < ROWS) break;
  }
  await to.query('CLOSE moved');
  return hash.digest('hex');
};

const refuseUsed = async (to: pg.ClientBase, tables: readonly Table[]): Promise<void> => {
  for (const { name } of tables) {
    if (name === 'workspace') continue;
    const { rows } = await to.query(`SELECT 1 FROM ${name} LIMIT 1`);
    if (rows.length > 0) throw new Error(`the database holds records already (table ${name})`);
  }
};

/**
 * OP-3: copies every row of a store's file into a database that has none, in one transaction, and reads all of it back:
 * what arrived is, row by row, what was there, or nothing is. Numbers that the database counts go on behind the highest.
 * Throws with words; the file is only read.
 */
export const moveToPostgres = async (db: Database.Database, to: pg.ClientBase): Promise<Moved> => {
  const tables = tablesOf(db);
  const moved = new Map<string, number>();
  await to.query('BEGIN');
  try {
    await refuseUsed(to, tables);
    await to.query('DELETE FROM workspace');
    for (const table of tables) {
      const { count, digest: sent } = await copy(db, to, table);
      if ((await arrived(to, table)) !== sent) {
        throw new Error(`table ${table.name} did not arrive as it was sent`);
      }
      moved.set(table.name, count);
    }
    await to.query(
      'INSERT INTO log_end SELECT workspace, log, max(seq) + 1 FROM event GROUP BY workspace, log',
    );
    await to.query(
      `SELECT setval(pg_get_serial_sequence('document_update', 'n'), max(n)) FROM document_update`,
    );
    await to.query('COMMIT');
    return moved;
  } catch (error) {
    await to.query('ROLLBACK');
    throw error;
  }
};
