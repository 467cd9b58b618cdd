import type pg from 'pg';
import { markOf, type Keys } from './key-files.ts';
import { StoreUnavailable } from './store-unavailable.ts';

/** Whether a server has worked on this store before: then its keys are needed, and no new ones are made. */
export const keysAreKnown = async (pool: pg.Pool, workspace: string): Promise<boolean> => {
  const { rows } = await pool.query('SELECT 1 FROM key_mark WHERE workspace = $1', [workspace]);
  return rows.length > 0;
};

/** Somebody who still signs with the old key would make every log look forged. */
const nobodyElse = async (pool: pg.Pool): Promise<void> => {
  const { rows } = await pool.query<{ n: number }>(
    `SELECT count(*)::int AS n FROM pg_stat_activity WHERE datname = current_database() AND
     usename = current_user AND application_name <> current_setting('application_name')`,
  );
  if (rows[0]?.n === 0) return;
  throw new StoreUnavailable(
    'The signing key is new, and another program works on the database. Stop every server, start this one alone, copy its keys folder to the others, then start them.',
  );
};

/** KR-3: whether the store's keys are the ones before these: then it goes on with these, once nobody uses those any more. */
const tookOver = async (
  pool: pg.Pool,
  workspace: string,
  known: string | undefined,
  keys: Keys,
): Promise<boolean> => {
  if (!keys.before?.some(({ mark }) => mark === known)) return false;
  await nobodyElse(pool);
  await pool.query('UPDATE key_mark SET mark = $3 WHERE workspace = $1 AND mark = $2', [
    workspace,
    known,
    markOf(keys),
  ]);
  return true;
};

/**
 * ST-15: every process on one store works with the same keys: with others it could read no sealed sheet, and its
 * checkpoints would look forged. Throws a StoreUnavailable.
 */
export const agreeOnKeys = async (
  pool: pg.Pool,
  workspace: string,
  keys: Keys,
  directory: string,
): Promise<void> => {
  const mark = markOf(keys);
  await pool.query('INSERT INTO key_mark VALUES ($1, $2) ON CONFLICT DO NOTHING', [
    workspace,
    mark,
  ]);
  const { rows } = await pool.query<{ mark: string }>(
    'SELECT mark FROM key_mark WHERE workspace = $1',
    [workspace],
  );
  const known = rows[0]?.mark;
  if (known !== mark && !(await tookOver(pool, workspace, known, keys))) {
    throw new StoreUnavailable(
      `The keys in ${directory}/keys are not those of this store. Copy the folder from a server that works on it.`,
    );
  }
};
