import type Database from 'better-sqlite3';
import type pg from 'pg';
import type { SealedRow, SealedRows } from './reseal.ts';

const SHEETS = `SELECT u.workspace, u.document, u.n, u.bytes FROM document_update AS u
  JOIN document AS d ON d.workspace = u.workspace AND d.id = u.document WHERE d.kind = 'sheet'`;
const ORDER = 'ORDER BY u.workspace, u.document, u.n';

const key = (row: SealedRow | undefined): [string, string, number] =>
  row === undefined ? ['', '', 0] : [row.workspace, row.document, row.n];

/** The updates of sheets in a store's file. */
export const sqliteSealedRows = (db: Database.Database): SealedRows => {
  const after = db.prepare(
    `${SHEETS} AND (u.workspace, u.document, u.n) > (?, ?, ?) ${ORDER} LIMIT ?`,
  );
  const put = db.prepare(
    'UPDATE document_update SET bytes = ? WHERE workspace = ? AND document = ? AND n = ?',
  );
  const replace = db.transaction((rows: readonly SealedRow[]) => {
    for (const row of rows) put.run(row.bytes, row.workspace, row.document, row.n);
  });
  return {
    after: (last, count) => Promise.resolve(after.all(...key(last), count) as SealedRow[]),
    replace: async (rows) => Promise.resolve(replace(rows)),
  };
};

/** The updates of sheets in a database. */
export const postgresSealedRows = (pool: pg.Pool): SealedRows => ({
  after: async (last, count) => {
    const { rows } = await pool.query<Omit<SealedRow, 'n'> & { n: string }>(
      `${SHEETS} AND (u.workspace, u.document, u.n) > ($1, $2, $3) ${ORDER} LIMIT $4`,
      [...key(last), count],
    );
    return rows.map((row) => ({ ...row, n: Number(row.n) }));
  },
  replace: async (rows) => {
    await pool.query(
      `UPDATE document_update AS u SET bytes = t.bytes
         FROM unnest($1::text[], $2::text[], $3::bigint[], $4::bytea[])
           AS t (workspace, document, n, bytes)
         WHERE u.workspace = t.workspace AND u.document = t.document AND u.n = t.n`,
      [
        rows.map((r) => r.workspace),
        rows.map((r) => r.document),
        rows.map((r) => r.n),
        rows.map((r) => Buffer.from(r.bytes)),
      ],
    );
  },
});
