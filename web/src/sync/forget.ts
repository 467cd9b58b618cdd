import { clear } from 'idb-keyval';
import { own } from './local-store.ts';

/**
 * Deletes everything of a person or an evaluation that this device keeps. How the device shows things stays: the keys
 * of its local storage without a colon.
 */
export const forget = async (): Promise<void> => {
  for (const key of Object.keys(localStorage)) if (key.includes(':')) localStorage.removeItem(key);
  try {
    await clear(own());
    for (const { name } of await indexedDB.databases()) {
      if (name?.startsWith('unhindered:')) indexedDB.deleteDatabase(name);
    }
  } catch {
    // Nothing was kept.
  }
};
