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
  /** Whether it is kept now. */
  set: async (key: string, value: unknown): Promise<boolean> => {
    try {
      await set(key, value, own());
      return true;
    } catch {
      // As above.
      return false;
    }
  },
};
