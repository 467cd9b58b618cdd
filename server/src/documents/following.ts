import type { DocumentStore, StoredUpdate, Written } from '../ports/document-store.ts';

/** What is to be done with what was read, and when a document has to be looked at whole. */
export interface Listener {
  take: (document: string, updates: readonly StoredUpdate[]) => void;
  look: (document: string) => Promise<void>;
}

/**
 * SY-13: reads what other processes wrote exactly once, by its numbers, and in one go what was named while the last
 * reading ran: however busy the others are, one question is under way.
 */
export class Following {
  readonly #store: DocumentStore;
  readonly #listener: Listener;
  #wanted = new Map<string, number[] | null>();
  #running: Promise<void> | undefined;

  constructor(store: DocumentStore, listener: Listener) {
    this.#store = store;
    this.#listener = listener;
  }

  /** Resolves when what is named here was read, too. Rejects when the store cannot be asked: look at it again later. */
  async hear(written: readonly Written[]): Promise<void> {
    for (const { document, numbers } of written) {
      const known = this.#wanted.get(document);
      if (numbers === null || known === null) this.#wanted.set(document, null);
      else this.#wanted.set(document, [...(known ?? []), ...numbers]);
    }
    // One that was under way may have begun before; the next one has it.
    if (this.#running) await this.#running.catch(() => undefined);
    this.#running ??= this.#read().finally(() => {
      this.#running = undefined;
    });
    await this.#running;
  }

  async #read(): Promise<void> {
    const wanted = this.#wanted;
    this.#wanted = new Map();
    const some = [...wanted].flatMap(([d, numbers]) => (numbers ? [[d, numbers] as const] : []));
    const found =
      some.length > 0 ? await this.#store.read(new Map(some)) : new Map<string, never>();
    for (const [document, updates] of found) this.#listener.take(document, updates);
    for (const [document, numbers] of wanted) {
      if (numbers === null) await this.#listener.look(document);
    }
  }
}
