/**
 * Counts a connection's sync writes and how many of them, from the first on without a hole, are durable. A write
 * that ran ahead of its step 2 counts when that step 2 does, since it contains it.
 */
export class SavedCount {
  #received = 0;
  #saved = 0;
  readonly #done = new Set<number>();
  #ahead: number[] = [];

  /** Number of the next write. */
  receive(): number {
    return ++this.#received;
  }

  /** The write waits for the step 2 that contains it. */
  ranAhead(write: number): void {
    this.#ahead.push(write);
  }

  /** Marks a write durable; `withAhead` also those that ran ahead of it. Returns the new count. */
  done(write: number, withAhead: boolean): number {
    this.#done.add(write);
    if (withAhead) {
      for (const earlier of this.#ahead) this.#done.add(earlier);
      this.#ahead = [];
    }
    while (this.#done.delete(this.#saved + 1)) this.#saved++;
    return this.#saved;
  }

  get saved(): number {
    return this.#saved;
  }
}
