import type { CommitWrites, DocumentWrite, WriteOutcome } from '../ports/document-store.ts';
import type { Timers } from '../ports/timers.ts';

/**
 * How long writes gather before they are made durable together, milliseconds: on a quiet server little, on one where
 * several came together last time longer, for a commit costs as much as ten writes. How many at most.
 */
const QUIET_MS = 3;
const BUSY_MS = 6;
const BUSY = 4;
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
  /** Writes that were ever queued, and that have settled; writes of the last commit. */
  #added = 0;
  #settled = 0;
  #last = 0;

  constructor(commit: CommitWrites, timers: Timers) {
    this.#commit = commit;
    this.#timers = timers;
  }

  /** Queues one write; `settle` is called once, after the commit it was part of. */
  add(write: DocumentWrite, settle: Settle): void {
    this.#waiting.push({ write, settle });
    this.#added++;
    if (this.#waiting.length >= BATCH) this.#start();
    else {
      const gather = this.#last >= BUSY ? BUSY_MS : QUIET_MS;
      this.#callOff ??= this.#timers.after(gather, () => this.#start());
    }
  }

  /** SY-12: resolves when everything queued so far has settled, and waits for nothing that came later. */
  async flush(): Promise<void> {
    const upTo = this.#added;
    while (this.#settled < upTo) {
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
    this.#settled += batch.length;
    this.#last = batch.length;
  }
}
