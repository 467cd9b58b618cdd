import { SHEET_ROOT } from '@unhindered/shared-types';
import * as Y from 'yjs';
import { blankDocument } from './blank-document.ts';

/** A sheet as its updates tell it, told one after the other: what stands, and which keys held another value before. */
export class SheetHistory {
  readonly #doc = blankDocument();
  readonly #map = this.#doc.getMap(SHEET_ROOT);
  readonly #first = new Map<string, unknown>();
  readonly #changed = new Set<string>();

  constructor() {
    this.#map.observe((event) => {
      for (const key of event.keysChanged as Set<string>) {
        const value = this.#map.get(key);
        if (value === null || value === undefined) continue;
        if (!this.#first.has(key)) this.#first.set(key, value);
        else if (this.#first.get(key) !== value) this.#changed.add(key);
      }
    });
  }

  /** Takes the next update, as it was kept. */
  take(update: Uint8Array): void {
    Y.applyUpdate(this.#doc, update);
  }

  get values(): Map<string, unknown> {
    return new Map(this.#map.entries());
  }

  /** Keys whose first value was replaced by another one. Taking a rating back and giving it again is no change. */
  get changed(): ReadonlySet<string> {
    return this.#changed;
  }
}
