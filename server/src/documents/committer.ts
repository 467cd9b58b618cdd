import type { CommitWrites, DocumentWrite, WriteOutcome } from '../ports/document-store.ts';
import type { Timers } from '../ports/timers.ts';

/** How long writes gather before they are made durable together, milliseconds, and how many at most. */
const WINDOW_MS = 4;
const BATCH = 200;

type Settle = (outcome: WriteOutcome | 'failed') => void;

/**
 * SY-2: group commit. Everything that arrives within a few milliseconds, from all rooms, becomes durable in one
 * transaction; only then is anybody told, in the order of arrival.
 */
export class Committer {
  readonly #commit: CommitWrites;
  readonly #timers: Timers;
  #waiting: { write: DocumentWrite; settle: Settle }[] = [];
  #running: Promise<void> | undefined;
  #callOff: (() => void) | undefined;

  constructor(commit: CommitWrites, timers: Timers) {
    this.#commit = commit;
    this.#timers = timers;
  }

  /** Queues one write; `settle` is called once, after the commit it was part of. */
  add(write: DocumentWrite, settle: Settle): void {
    this.#waiting.push({ write, settle });
    if (this.#waiting.length >= BATCH) this.#start();
    else this.#callOff ??= this.#timers.after(WINDOW_MS, () => this.#start());
  }

  /** Resolves when everything queued so far has settled. */
  async flush(): Promise<void> {
    while (this.#waiting.length > 0 || this.#running) {
      this.#start();
      await this.#running;
    }
  }

  #start(): void {
    this.#callOff?.();
    this.#callOff = undefined;
    if (this.#running || this.#waiting.length === 0) return;
    this.#running = this.#run().finally(() => {
      this.#running = undefined;
      // Writes that came during the commit do not wait for another window.
      if (this.#waiting.length > 0) this.#start();
    });
  }

  async #run(): Promise<void> {
    const batch = this.#waiting.splice(0, BATCH);
    let outcomes: (WriteOutcome | 'failed')[];
    try {
      outcomes = await this.#commit(batch.map((b) => b.write));
    } catch {
      // Not swallowed: every room in the batch learns it, drops what it holds and loads from disk.
      outcomes = batch.map(() => 'failed');
    }
    batch.forEach(({ settle }, i) => settle(outcomes[i] ?? 'failed'));
  }
}
