import * as Y from 'yjs';
import type { StoredDocument } from '../ports/document-store.ts';

/** A stored document as one Yjs update: what a device that has nothing of it is told, no more than its present values. */
export const wholeDocument = ({ updates }: StoredDocument): Uint8Array => {
  const doc = new Y.Doc();
  for (const { bytes } of updates) Y.applyUpdate(doc, bytes);
  return Y.encodeStateAsUpdate(doc);
};
