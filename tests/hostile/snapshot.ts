import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import * as Y from 'yjs';
import { SHEET_ROOT } from '../../shared-types/src/index.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { askControl, controlPath } from '../../server/src/cli/control.ts';
import { FIRST_WORKSPACE, openFile } from '../../server/src/cli/open-store.ts';
import { checkStore } from '../../server/src/flows/check-store.ts';

/** Copies are looked at once: in memory where the system has such a place. */
const MEMORY = existsSync('/dev/shm') ? '/dev/shm' : tmpdir();

export interface StoredEvent {
  seq: number;
  at: string;
  type: string;
  actor: string;
  cmd: string | null;
  data: Record<string, unknown>;
}

/** What a store held at one instant, read from a copy that the running server made. */
export interface Snapshot {
  events: ReadonlyMap<string, StoredEvent[]>;
  /** Stored updates of each document. */
  updates: ReadonlyMap<string, number>;
  /** When the last update of each document was stored, by the server's clock. */
  updatedAt: ReadonlyMap<string, string>;
  protocols: number;
  people: { seat: string; name: string }[];
  /** Faults of the logs against their signatures. */
  faults: string[];
  sheet: (document: string) => Record<string, unknown>;
}

type Row = Record<string, unknown>;

const readRows = (file: string) => {
  const db = new Database(file, { readonly: true });
  const all = (sql: string): Row[] => db.prepare(sql).all() as Row[];
  const events = new Map<string, StoredEvent[]>();
  for (const row of all('SELECT log, text FROM event ORDER BY log, seq')) {
    const log = String(row['log']);
    events.set(log, [...(events.get(log) ?? []), JSON.parse(String(row['text'])) as StoredEvent]);
  }
  const written = all(
    'SELECT document, count(*) AS n, max(at) AS at FROM document_update GROUP BY document',
  );
  const updates = new Map(written.map((r) => [String(r['document']), Number(r['n'])]));
  const updatedAt = new Map(written.map((r) => [String(r['document']), String(r['at'])]));
  const protocols = Number(all('SELECT count(*) AS n FROM protocol')[0]?.['n']);
  const people = all('SELECT seat, name FROM person').map((r) => ({
    seat: String(r['seat']),
    name: String(r['name']),
  }));
  db.close();
  return { events, updates, updatedAt, protocols, people };
};

/** Values of every sheet, and the faults of the logs, as the server itself would find them at a start. */
const readChecked = async (directory: string, file: string, documents: readonly string[]) => {
  const opened = openFile(directory, file);
  const store = opened.store(FIRST_WORKSPACE);
  try {
    const faults = await checkStore(store, verifierKey(opened.signer));
    const sheets = new Map<string, Record<string, unknown>>();
    for (const id of documents) {
      const doc = new Y.Doc();
      for (const { bytes } of (await store.load(id))?.updates ?? []) Y.applyUpdate(doc, bytes);
      sheets.set(id, Object.fromEntries(doc.getMap(SHEET_ROOT).entries()));
    }
    return { faults: faults.map((f) => `${f.log} ${String(f.seq)} ${f.what}`), sheets };
  } finally {
    opened.close();
  }
};

/** Asks the running server for a copy of its store and reads it. */
export const takeSnapshot = async (directory: string): Promise<Snapshot> => {
  const folder = mkdtempSync(join(MEMORY, 'unhindered-hostile-'));
  try {
    const file = join(folder, 'copy.sqlite');
    const answer = await askControl(controlPath(directory) ?? '', { do: 'backup', file });
    if (answer?.ok !== true) throw new Error(`no copy: ${answer?.why ?? 'nobody listens'}`);
    const rows = readRows(file);
    const { faults, sheets } = await readChecked(directory, file, [...rows.updates.keys()]);
    return { ...rows, faults, sheet: (document) => sheets.get(document) ?? {} };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

/** What one snapshot has more than an earlier one: events by log, and documents with further updates. */
export const addedSince = (
  before: Snapshot,
  after: Snapshot,
): { events: (StoredEvent & { log: string })[]; documents: string[] } => ({
  events: [...after.events].flatMap(([log, events]) =>
    events.slice(before.events.get(log)?.length ?? 0).map((e) => ({ ...e, log })),
  ),
  documents: [...after.updates]
    .filter(([id, n]) => n > (before.updates.get(id) ?? 0))
    .map(([id]) => id),
});
