import { createStore, get, set, type UseStore } from 'idb-keyval';

let store: UseStore | undefined;
/** Where it is kept. */
export const own = (): UseStore => (store ??= createStore('unhindered', 'kept'));

/** What this device keeps to work without a network: the last view, the protocol, the newest checkpoint. */
export const localStore = {
  get: async <T>(key: string): Promise<T | undefined> => {
    try {
      return await get<T>(key, own());
    } catch {
      // Private windows may have no IndexedDB: the page then works online only.
      return undefined;
    }
  },
  set: async (key: string, value: unknown): Promise<void> => {
    try {
      await set(key, value, own());
    } catch {
      // As above.
    }
  },
};
