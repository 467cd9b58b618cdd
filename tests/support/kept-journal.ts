import type { SqliteStore } from '../../server/src/adapters/sqlite-store.ts';
import type { Batch, Committed, Store } from '../../server/src/ports/store.ts';

/** What a store said it kept: texts of events by log, and updates of documents in order. */
export interface Journal {
  events: { log: string; seq: number; text: string }[];
  updates: { document: string; bytes: Uint8Array }[];
}

const note = (journal: Journal, batch: Batch, committed: Committed): void => {
  if (!committed.ok) return;
  for (const { log, from, texts } of batch.appends ?? []) {
    texts.forEach((text, i) => journal.events.push({ log, seq: from + i, text }));
  }
  (batch.writes ?? []).forEach(({ document, bytes }, i) => {
    if (committed.writes[i] === 'kept') journal.updates.push({ document, bytes });
  });
};

/** A store whose every acknowledged commit is written down beside it. */
export const journaled = (store: SqliteStore): { store: Store; journal: Journal } => {
  const journal: Journal = { events: [], updates: [] };
  const commit = async (batch: Batch): Promise<Committed> => {
    const committed = await store.commit(batch);
    note(journal, batch, committed);
    return committed;
  };
  const proxy = new Proxy(store, {
    get: (target, name) => {
      if (name === 'commit') return commit;
      const value: unknown = Reflect.get(target, name, target);
      return typeof value === 'function' ? (value.bind(target) as unknown) : value;
    },
  });
  return { store: proxy, journal };
};

/** What was acknowledged and is not there, or there more than once. */
export const missingFrom = async (store: Store, journal: Journal): Promise<string[]> => {
  const missing: string[] = [];
  for (const { log, seq, text } of journal.events) {
    const found = (await store.rows(log)).filter((row) => row.seq === seq && row.text === text);
    if (found.length !== 1) missing.push(`${log} ${String(seq)}: ${String(found.length)} times`);
  }
  for (const { document, bytes } of journal.updates) {
    const wanted = Buffer.from(bytes);
    const updates = (await store.load(document))?.updates ?? [];
    const found = updates.filter((u) => wanted.equals(u.bytes)).length;
    if (found !== 1) missing.push(`${document}: ${String(found)} times`);
  }
  return missing;
};
