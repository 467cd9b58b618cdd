import {
  adoptSheetsKey,
  makePendingSheetsKey,
  pendingSheetsKey,
  readKeys,
  type Keys,
} from './key-files.ts';
import { firstClosed, reseal, type SealedRows } from './reseal.ts';
import { sheetBox } from './sheet-box.ts';
import { StoreUnavailable } from './store-unavailable.ts';

/** The store whose sheets get another key. Each step throws a StoreUnavailable when it cannot be done now. */
export interface ResealedStore {
  rows: SealedRows;
  /** Whether the change could be made; nothing changes yet. `next` is there when one was begun before. */
  ready: (old: Keys, next: Keys | undefined) => Promise<void>;
  /** From now on no server works on it with the old key. */
  begin: (old: Keys, next: Keys) => Promise<void>;
  /** From now on servers work on it with the next key. */
  end: (old: Keys, next: Keys) => Promise<void>;
}

const refuse = async (rows: SealedRows, keys: readonly Uint8Array[]): Promise<void> => {
  const closed = await firstClosed(rows, keys.map(sheetBox));
  if (!closed) return;
  const { document, n } = closed;
  throw new StoreUnavailable(
    `Sheet ${document}, update ${String(n)}, is not opened by keys/sheets.key: it was sealed with another key, or is damaged. Put the backed-up keys back.`,
  );
};

/**
 * KR-4: gives the sheets of a store, which no server works on, another key. Every row is opened before anything changes.
 * The next key is whole on disk before the first row is sealed with it, and the old one stays in its place until each row
 * was read back with the next: cut off anywhere, the same again goes on from there. `batch` rows change in one commit.
 * Gives how many were sealed now.
 */
export const changeSheetsKey = async (
  directory: string,
  store: ResealedStore,
  batch?: number,
): Promise<number> => {
  const old = readKeys(directory, true);
  const begun = pendingSheetsKey(directory);
  await store.ready(old, begun && { ...old, sheets: begun });
  await refuse(store.rows, begun ? [old.sheets, begun] : [old.sheets]);
  const next: Keys = { ...old, sheets: begun ?? makePendingSheetsKey(directory) };
  await store.begin(old, next);
  const count = await reseal(store.rows, sheetBox(old.sheets), sheetBox(next.sheets), batch);
  await refuse(store.rows, [next.sheets]);
  await store.end(old, next);
  adoptSheetsKey(directory);
  return count;
};
