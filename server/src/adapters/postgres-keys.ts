import type pg from 'pg';
import { markOf, type Keys } from './key-files.ts';
import { opensFirst } from './reseal.ts';
import { postgresSealedRows } from './sealed-rows.ts';
import { sheetBox } from './sheet-box.ts';
import { StoreUnavailable } from './store-unavailable.ts';

/** Whether a server has worked on this store before: then its keys are needed, and no new ones are made. */
export const keysAreKnown = async (pool: pg.Pool, workspace: string): Promise<boolean> => {
  const { rows } = await pool.query('SELECT 1 FROM key_mark WHERE workspace = $1', [workspace]);
  return rows.length > 0;
};

/** Somebody who still signs or seals with the old keys would make records look forged, or sheets unreadable. */
const nobodyElse = async (pool: pg.Pool, words: string): Promise<void> => {
  const { rows } = await pool.query<{ n: number }>(
    `SELECT count(*)::int AS n FROM pg_stat_activity WHERE datname = current_database() AND
     usename = current_user AND application_name <> current_setting('application_name')`,
  );
  if (rows[0]?.n === 0) return;
  throw new StoreUnavailable(words);
};

const NEW_SIGNING =
  'The signing key is new, and another program works on the database. Stop every server, start this one alone, copy its keys folder to the others, then start them.';
const STOP_ALL =
  'Another program works on the database. Stop every server first, then run this again.';

const remark = async (
  pool: pg.Pool,
  workspace: string,
  from: string | undefined,
  to: string,
): Promise<void> => {
  const sql = 'UPDATE key_mark SET mark = $3 WHERE workspace = $1 AND mark = $2';
  await pool.query(sql, [workspace, from, to]);
};

const markIn = async (pool: pg.Pool, workspace: string): Promise<string | undefined> => {
  const { rows } = await pool.query<{ mark: string }>(
    'SELECT mark FROM key_mark WHERE workspace = $1',
    [workspace],
  );
  return rows[0]?.mark;
};

/** What a store is marked with while its sheets are sealed anew: no keys have that mark, so no server starts on it. */
const changingMark = (old: Keys, next: Keys): string => `changing ${markOf(old)} ${markOf(next)}`;

/**
 * KR-3: whether the store's keys are the ones before these: then it goes on with these, once nobody uses those any more.
 * Its sheets must be sealed with the present key: of that one none vouches for the next.
 */
const tookOver = async (
  pool: pg.Pool,
  workspace: string,
  known: string | undefined,
  keys: Keys,
): Promise<boolean> => {
  if (!keys.before?.some(({ mark }) => mark === known)) return false;
  if (!(await opensFirst(postgresSealedRows(pool), sheetBox(keys.sheets)))) return false;
  await nobodyElse(pool, NEW_SIGNING);
  await remark(pool, workspace, known, markOf(keys));
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
  const known = await markIn(pool, workspace);
  if (known?.startsWith('changing ') === true) {
    throw new StoreUnavailable(
      'A change of the key of sealed sheets was begun on this store and not ended. Run "unhindered rotate-key --sheets" again, with the data directory it was begun in.',
    );
  }
  if (known !== mark && !(await tookOver(pool, workspace, known, keys))) {
    throw new StoreUnavailable(
      `The keys in ${directory}/keys are not those of this store. Copy the folder from a server that works on it.`,
    );
  }
};

/**
 * KR-5: bars every server from a store whose sheets are to be sealed with `next`. The mark goes first and who is there is
 * asked after it: a server that comes later finds itself barred, and one that was cut off meanwhile at its next commit.
 * Throws a StoreUnavailable.
 */
export const barServers = async (
  pool: pg.Pool,
  workspace: string,
  { old, next, directory }: { old: Keys; next: Keys; directory: string },
): Promise<void> => {
  await readyToBar(pool, workspace, { old, next, directory });
  await remark(pool, workspace, markOf(old), changingMark(old, next));
  await nobodyElse(pool, STOP_ALL);
};

/** Whether servers could be barred now, before anything changes. Throws a StoreUnavailable. */
export const readyToBar = async (
  pool: pg.Pool,
  workspace: string,
  { old, next, directory }: { old: Keys; next: Keys | undefined; directory: string },
): Promise<void> => {
  const known = await markIn(pool, workspace);
  if (known === undefined) {
    throw new StoreUnavailable('No server has worked on that database yet.');
  }
  await nobodyElse(pool, STOP_ALL);
  const under = next !== undefined && [changingMark(old, next), markOf(next)].includes(known);
  if (!under) await agreeOnKeys(pool, workspace, old, directory);
};

/** Lets servers with the next key in. */
export const letServersIn = (
  pool: pg.Pool,
  workspace: string,
  { old, next }: { old: Keys; next: Keys },
): Promise<void> => remark(pool, workspace, changingMark(old, next), markOf(next));
