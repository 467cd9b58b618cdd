const PREFIX = 'unsent:';

/**
 * What this device holds and the server has not: documents and files on their way, by name. Kept beside them, so that
 * it is known after a reload, also before any of them is opened again.
 */
export const unsent = {
  mark: (what: string, is: boolean, store: Storage = localStorage): void => {
    const key = `${PREFIX}${what}`;
    if (!is) store.removeItem(key);
    else if (store.getItem(key) === null) store.setItem(key, '1');
  },
  has: (what: string, store: Storage = localStorage): boolean =>
    store.getItem(`${PREFIX}${what}`) !== null,
  count: (store: Storage = localStorage): number =>
    Object.keys(store).filter((key) => key.startsWith(PREFIX)).length,
};
