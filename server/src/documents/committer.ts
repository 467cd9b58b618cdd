import type { CommitWrites, DocumentWrite, WriteOutcome } from '../ports/document-store.ts';
import type { Timers } from '../ports/timers.ts';

/**
 * How long writes gather before they are made durable together, milliseconds: on a quiet server little; on one where
 * SEVERAL come within the longer time that long, for a commit costs as much as ten writes. How many at most.
 */
const QUIET_MS = 3;
const BUSY_MS = 8;
const SEVERAL = 2;
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
  /** Writes that were ever queued, and that have settled. */
  #added = 0;
  #settled = 0;
  /** When the last commit began, and writes a millisecond up to then. */
  #began = 0;
  #rate = 0;

  constructor(commit: CommitWrites, timers: Timers) {
    this.#commit = commit;
    this.#timers = timers;
  }

  /** Queues one write; `settle` is called once, after the commit it was part of. */
  add(write: DocumentWrite, settle: Settle): void {
    this.#waiting.push({ write, settle });
    this.#added++;
    this.#gather(0);
  }

  /** SY-12: resolves when everything queued so far has settled, and waits for nothing that came later. */
  async flush(): Promise<void> {
    const upTo = this.#added;
    while (this.#settled < upTo) {
      this.#start();
      await this.#running;
    }
  }

  /** Starts the next commit when what there is has waited long enough; `already` milliseconds of that are over. */
  #gather(already: number): void {
    const wait = this.#rate * BUSY_MS >= SEVERAL ? BUSY_MS : QUIET_MS;
    if (this.#waiting.length >= BATCH || already >= wait) this.#start();
    else this.#callOff ??= this.#timers.after(wait - already, () => this.#start());
  }

  #start(): void {
    this.#callOff?.();
    this.#callOff = undefined;
    if (this.#running || this.#waiting.length === 0) return;
    this.#running = this.#run().finally(() => {
      this.#running = undefined;
      // Writes that came during the commit have gathered meanwhile.
      if (this.#waiting.length > 0) this.#gather(this.#timers.counted() - this.#began);
    });
  }

  async #run(): Promise<void> {
    const batch = this.#waiting.splice(0, BATCH);
    const now = this.#timers.counted();
    this.#rate = batch.length / Math.max(1, now - this.#began);
    this.#began = now;
    let outcomes: (WriteOutcome | 'failed')[];
    try {
      outcomes = await this.#commit(batch.map((b) => b.write));
    } catch {
      // Not swallowed: every room in the batch learns it, drops what it holds and loads from disk.
      outcomes = batch.map(() => 'failed');
    }
    batch.forEach(({ settle }, i) => settle(outcomes[i] ?? 'failed'));
    this.#settled += batch.length;
  }
}
