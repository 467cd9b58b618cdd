import { createHash } from 'node:crypto';
import type pg from 'pg';
import type { Keys } from './key-files.ts';
import { StoreUnavailable } from './store-unavailable.ts';

/** Says which keys are meant without saying anything of them. */
const markOf = ({ signing, sheets }: Keys): string =>
  createHash('sha256').update('unhindered keys').update(signing).update(sheets).digest('hex');

/** Whether a server has worked on this store before: then its keys are needed, and no new ones are made. */
export const keysAreKnown = async (pool: pg.Pool, workspace: string): Promise<boolean> => {
  const { rows } = await pool.query('SELECT 1 FROM key_mark WHERE workspace = $1', [workspace]);
  return rows.length > 0;
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
  if (rows[0]?.mark !== mark) {
    throw new StoreUnavailable(
      `The keys in ${directory}/keys are not those of this store. Copy the folder from a server that works on it.`,
    );
  }
};
