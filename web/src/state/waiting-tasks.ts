/**
 * Tasks of a sheet that were changed on this device and are not known to be on the server's disk. Kept beside the sheet,
 * so that their number is known after a reload too; a device that signs out forgets it with everything else.
 */
export class WaitingTasks {
  readonly #key: string;
  readonly #store: Storage;
  readonly #tasks: Set<string>;

  constructor(document: string, store: Storage = localStorage) {
    this.#key = `waiting:${document}`;
    this.#store = store;
    this.#tasks = new Set(store.getItem(this.#key)?.split(' '));
  }

  get count(): number {
    return this.#tasks.size;
  }

  add(task: string): void {
    if (this.#tasks.has(task)) return;
    this.#tasks.add(task);
    this.#store.setItem(this.#key, [...this.#tasks].join(' '));
  }

  clear(): void {
    this.#tasks.clear();
    this.#store.removeItem(this.#key);
  }
}
