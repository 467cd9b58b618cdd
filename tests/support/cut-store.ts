import type { Batch, Store } from '../../server/src/ports/store.ts';

/** The process is gone: nothing is asked or kept any more. */
export class Gone extends Error {}

/**
 * A store whose process dies at its `at`th commit: `before` it is kept, or `after`, when nobody hears of it. What is
 * underneath stays as the disk would. `at` 0 never dies.
 */
export const cutStore = (
  store: Store,
  at: number,
  when: 'before' | 'after',
): { store: Store; commits: () => number } => {
  let commits = 0;
  let gone = false;
  const commit = async (batch: Batch): ReturnType<Store['commit']> => {
    if (gone) throw new Gone();
    commits++;
    gone = commits === at;
    if (gone && when === 'before') throw new Gone();
    const committed = await store.commit(batch);
    if (gone) throw new Gone();
    return committed;
  };
  const cut = new Proxy(store, {
    get: (target, name) => {
      if (name === 'commit') return commit;
      const value: unknown = Reflect.get(target, name, target);
      if (typeof value !== 'function') return value;
      return (...args: unknown[]): unknown => {
        if (gone && name !== 'fault') throw new Gone();
        return (value as (...a: unknown[]) => unknown).apply(target, args);
      };
    },
  });
  return { store: cut, commits: () => commits };
};
