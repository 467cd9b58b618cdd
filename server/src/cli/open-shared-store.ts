import { markOf, openKeys, signerOf } from '../adapters/key-files.ts';
import { noBus } from '../adapters/no-bus.ts';
import { ownSystemLog } from '../adapters/own-system-log.ts';
import { agreeOnKeys, keysAreKnown } from '../adapters/postgres-keys.ts';
import { answers, openPostgres } from '../adapters/postgres-open.ts';
import { PostgresStore } from '../adapters/postgres-store.ts';
import { PostgresTickets } from '../adapters/postgres-tickets.ts';
import { PostgresWorkspaces } from '../adapters/postgres-workspaces.ts';
import { randomIds } from '../adapters/random-ids.ts';
import { RedisBus } from '../adapters/redis-bus.ts';
import { sheetBox } from '../adapters/sheet-box.ts';
import type { Log } from '../ports/log.ts';
import type { Home } from './home.ts';
import { FIRST_WORKSPACE } from './open-store.ts';

const NO_COPY =
  'the store is a PostgreSQL database: back it up with pg_dump, and the keys folder with it';

/**
 * Opens a store that several processes share, with the keys in the data directory, which are the same for all of them.
 * Throws a StoreUnavailable.
 */
export const openSharedStore = async (
  address: string,
  busAddress: string | null,
  directory: string,
  log: Log,
): Promise<Home> => {
  const pool = await openPostgres(address, (error) => log.error('PostgreSQL', error));
  try {
    const keys = openKeys(directory, await keysAreKnown(pool, FIRST_WORKSPACE));
    await agreeOnKeys(pool, FIRST_WORKSPACE, keys, directory);
    const mark = markOf(keys);
    const bus = busAddress === null ? noBus : RedisBus.open(busAddress, log);
    return {
      workspaces: new PostgresWorkspaces(pool),
      signer: signerOf(keys),
      bus,
      shared: true,
      kept: (workspace) => ({
        store: new PostgresStore(pool, workspace, sheetBox(keys.sheets), mark),
        tickets: new PostgresTickets(pool, workspace),
        systemLog: ownSystemLog(directory, workspace, () => randomIds.id('sy')),
      }),
      reached: () => answers(pool),
      copyTo: () => Promise.reject(new Error(NO_COPY)),
      blame: (error) => error,
      close: async () => {
        await bus.close();
        await pool.end();
      },
    };
  } catch (error) {
    await pool.end();
    throw error;
  }
};
