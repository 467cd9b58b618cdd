import * as Y from 'yjs';
import type { StoredDocument } from '../ports/document-store.ts';

/** How far behind the newest number an update of another process may still appear, committed late. */
const LATE_NUMBERS = 5000;

/** Which updates of a document were read from the store, so that each is applied once. */
export class ReadUpdates {
  /** Numbers of the newest ones. */
  readonly #read = new Set<number>();
  #newest = 0;

  /** From where to look in the store for what other processes kept. */
  get lookFrom(): number {
    return Math.max(0, this.#newest - LATE_NUMBERS);
  }

  /** Applies those that were not read before; returns what was new to the document. */
  apply(doc: Y.Doc, updates: StoredDocument['updates']): Uint8Array[] {
    const news: Uint8Array[] = [];
    const hear = (update: Uint8Array): void => void news.push(update);
    doc.on('update', hear);
    for (const { n, bytes } of updates) {
      if (this.#read.has(n)) continue;
      Y.applyUpdate(doc, bytes);
      this.#read.add(n);
      this.#newest = Math.max(this.#newest, n);
    }
    doc.off('update', hear);
    for (const n of this.#read) if (n < this.lookFrom) this.#read.delete(n);
    return news;
  }
}
