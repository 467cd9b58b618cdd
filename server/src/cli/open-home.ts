import { MemoryTickets } from '../adapters/memory-tickets.ts';
import { noBus } from '../adapters/no-bus.ts';
import { NotKept } from '../ports/not-kept.ts';
import type { Log } from '../ports/log.ts';
import type { Config } from './config.ts';
import type { Home } from './home.ts';
import { openSharedStore } from './open-shared-store.ts';
import { openFile, refuseOtherSheetsKey, storeFile, unreadable } from './open-store.ts';

const homeInFile = async (directory: string, log: Log): Promise<Home> => {
  const file = openFile(directory);
  try {
    await refuseOtherSheetsKey(file);
  } catch (error) {
    file.close();
    throw unreadable(storeFile(directory), error);
  }
  return {
    workspaces: file.workspaces,
    signer: file.signer,
    bus: noBus,
    shared: false,
    kept: (workspace) => {
      const store = file.store(workspace);
      // The operator is told when nothing can be kept.
      store.told = (words, error) => log.error(words, error);
      return { store, tickets: new MemoryTickets(), systemLog: null };
    },
    copyTo: file.copyTo,
    reached: () => Promise.resolve(true),
    blame: (error) =>
      unreadable(storeFile(directory), error instanceof NotKept ? error.cause : error),
    close: () => Promise.resolve(file.close()),
  };
};

/**
 * Opens what the configuration names: one file for one process, or a database that several share. Throws a
 * StoreUnavailable.
 */
export const openHome = async ({ store, bus, dataDirectory }: Config, log: Log): Promise<Home> =>
  store === null ? homeInFile(dataDirectory, log) : openSharedStore(store, bus, dataDirectory, log);
