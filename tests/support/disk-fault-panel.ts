import { cpSync, mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { sheetBox } from '../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../server/src/adapters/sqlite-store.ts';
import { openFault } from '../../server/src/adapters/sqlite-faults.ts';
import { StoreUnavailable } from '../../server/src/adapters/store-unavailable.ts';
import { checkStore } from '../../server/src/flows/check-store.ts';
import type { Store } from '../../server/src/ports/store.ts';
import { diskPlan, type DiskFault } from './disk-plan.ts';
import { journaled, missingFrom, type Journal } from './kept-journal.ts';
import { lockedBundle } from './locked-bundle.ts';
import { vkey } from './test-app.ts';

/**
 * A process under disk-fault.c that plays a whole panel on a store once for every Nth call that fails: kind, error,
 * torn or whole, step and folder. Says one line of JSON for each N, until a run in which nothing failed.
 */
const [kind = 'write', error = 'EIO', torn = 'whole', step = '1', base = ''] =
  process.argv.slice(2);
const plan = diskPlan(process.env['FAULT_PLAN'] ?? '');
const open = (folder: string): SqliteStore =>
  new SqliteStore(join(folder, 'store.sqlite'), 'ws_test', sheetBox(new Uint8Array(32).fill(1)));

const wordsOf = (thrown: unknown): string =>
  thrown instanceof Error ? thrown.message : String(thrown);

/** Tries to keep one thing more, as the next person would: a log that no reader could check. */
const probe = (store: Store, log: string): Promise<string> =>
  store.commit({ appends: [{ log, from: 0, texts: ['probe'] }] }).then(() => 'kept', wordsOf);

/** Plays until something fails; then goes on once while the disk is as it is, and once when it is mended. */
const play = async (folder: string) => {
  const said = { refused: '', fault: null as string | null, again: '', later: '' };
  let journal: Journal = { events: [], updates: [] };
  try {
    const inner = open(folder);
    const kept = journaled(inner);
    journal = kept.journal;
    try {
      await lockedBundle(kept.store);
    } catch (thrown) {
      said.refused = wordsOf(thrown);
    }
    said.again = await probe(kept.store, 'ev_probe_1');
    if (said.again !== 'kept') said.refused ||= said.again;
    said.fault = inner.fault();
    plan.heal();
    said.later = await probe(kept.store, 'ev_probe_2');
    await inner.close().catch((thrown: unknown) => (said.refused ||= wordsOf(thrown)));
  } catch (thrown) {
    said.refused =
      thrown instanceof StoreUnavailable ? thrown.message : (openFault(folder, thrown) ?? '');
    plan.heal();
  }
  return { ...said, journal };
};

/** What is found when the store is opened the next time. */
const found = async (folder: string, journal: Journal) => {
  const store = open(folder);
  const missing = await missingFrom(store, journal);
  const faults = (await checkStore(store, vkey)).filter((f) => !f.log.startsWith('ev_probe'));
  await store.close();
  return { missing, faults };
};

for (let n = 0; ; n += Number(step)) {
  const folder = join(base, `run-${String(n)}`);
  const synced = join(base, `synced-${String(n)}`);
  mkdirSync(folder);
  mkdirSync(synced);
  process.env['CUT_FROM'] = folder;
  process.env['CUT_TO'] = synced;
  plan.set(kind as DiskFault, {
    after: n,
    error: error as 'EIO',
    sticky: kind === 'write' && error === 'ENOSPC',
    torn: torn === 'torn',
  });
  const { journal, ...said } = await play(folder);
  const { failed } = plan.counts();
  // The page cache may hold what the disk does not: what is there is looked for in the synced bytes.
  const survived = join(base, `survived-${String(n)}`);
  cpSync(kind === 'sync' ? synced : folder, survived, { recursive: true });
  const after = await found(survived, journal);
  const acknowledged = journal.events.length + journal.updates.length;
  process.stdout.write(`${JSON.stringify({ n, failed, acknowledged, ...said, ...after })}\n`);
  for (const each of [folder, synced, survived]) rmSync(each, { recursive: true });
  if (failed === 0) break;
}
