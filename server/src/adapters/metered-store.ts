import type { CommitOutcome, Meter } from '../ports/meter.ts';
import type { Batch, Committed, Store } from '../ports/store.ts';

/** The same store; a meter hears of each commit how it ended and how long it took. */
export const meteredStore = (store: Store, meter: Meter): Store => {
  const commit = async (batch: Batch): Promise<Committed> => {
    const start = performance.now();
    let outcome: CommitOutcome = 'not-kept';
    try {
      const committed = await store.commit(batch);
      outcome = committed.ok ? 'kept' : 'conflict';
      return committed;
    } finally {
      meter.committed(outcome, performance.now() - start);
    }
  };
  return new Proxy(store, {
    get: (of, name) => {
      if (name === 'commit') return commit;
      const value: unknown = Reflect.get(of, name, of);
      return typeof value === 'function' ? (value.bind(of) as unknown) : value;
    },
  });
};
