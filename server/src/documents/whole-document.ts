import * as Y from 'yjs';
import { blankDocument } from './blank-document.ts';
import type { StoredDocument } from '../ports/document-store.ts';

/** A stored document as one Yjs update: what a device that has nothing of it is told, no more than its present values. */
export const wholeDocument = ({ updates }: StoredDocument): Uint8Array => {
  const doc = blankDocument();
  for (const { bytes } of updates) Y.applyUpdate(doc, bytes);
  return Y.encodeStateAsUpdate(doc);
};
