import { SHEET_ROOT } from '@unhindered/shared-types';
import * as Y from 'yjs';
import type { StoredDocument } from '../ports/document-store.ts';

/** A sheet as its updates tell it: what stands, and which keys held another value before. */
export interface SheetHistory {
  values: Map<string, unknown>;
  /** Keys whose first value was replaced by another one. Taking a rating back and giving it again is no change. */
  changed: ReadonlySet<string>;
}

/** Replays a sheet update by update. */
export const sheetHistory = (stored: StoredDocument): SheetHistory => {
  const doc = new Y.Doc();
  const map = doc.getMap(SHEET_ROOT);
  const first = new Map<string, unknown>();
  const changed = new Set<string>();
  map.observe((event) => {
    for (const key of event.keysChanged as Set<string>) {
      const value = map.get(key);
      if (value === null || value === undefined) continue;
      if (!first.has(key)) first.set(key, value);
      else if (first.get(key) !== value) changed.add(key);
    }
  });
  for (const { bytes } of stored.updates) Y.applyUpdate(doc, bytes);
  return { values: new Map(map.entries()), changed };
};
