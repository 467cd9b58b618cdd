import type { Witness, WitnessFault, WitnessMessage } from '@unhindered/shared-types';
import { localStore } from '../sync/local-store.ts';
import type { judge as judgeNote, Kept } from '../sync/witness/judge.ts';

type Judge = typeof judgeNote;

/** A log that this device does not believe, with both notes as evidence. */
export interface Alarm {
  evaluation: string;
  fault: WitnessFault;
  kept: string;
  got: string;
}

/** The first moments of a page belong to who wants to rate; on a slow line the check's code would be in the way. */
const AFTER_MS = 4000;
const afterwards = (): Promise<unknown> =>
  new Promise((resolve) => setTimeout(resolve, Math.max(0, AFTER_MS - performance.now())));

const keyOf = (log: string): string => `witness:${log}`;

/**
 * This device as a witness: it keeps the newest checkpoint it has checked of every log it looks at, and raises an
 * alarm when a log does not go on from it. One note at a time: an older one must not overtake a newer one.
 */
export class WitnessState {
  alarm = $state.raw<Alarm | null>(null);
  readonly #report: (message: WitnessMessage) => void;
  readonly #waiting: { log: string; witness: Witness }[] = [];
  #last: Promise<void> = Promise.resolve();

  constructor(report: (message: WitnessMessage) => void) {
    this.#report = report;
  }

  /**
   * Events of a log that this device has checked. The next proof goes on from there, so what waits is checked first, or
   * let go where even now the code cannot be loaded: an honest log must not look like another one.
   */
  async seen(log: string): Promise<number> {
    if (this.#waiting.length > 0) {
      await this.#next().catch(() => undefined);
      this.#waiting.length = 0;
    }
    return (await localStore.get<Kept>(keyOf(log)))?.size ?? 0;
  }

  /** Checks a note from the server and keeps it, or raises the alarm; what cannot be checked yet is not forgotten. */
  take(log: string, witness: Witness): Promise<void> {
    this.#waiting.push({ log, witness });
    return this.#next();
  }

  #next(): Promise<void> {
    const work = this.#last.then(() => this.#work());
    this.#last = work.catch(() => undefined);
    return work;
  }

  async #work(): Promise<void> {
    await afterwards();
    for (let next = this.#waiting[0]; next; next = this.#waiting[0]) {
      const code = await import('../sync/witness/judge.ts').catch(() => undefined);
      // No link to load the code: the notes wait, in order, for the one that comes when the link is back.
      if (!code) return;
      await this.#check(code.judge, next.log, next.witness);
      this.#waiting.shift();
    }
  }

  async #check(judge: Judge, log: string, witness: Witness): Promise<void> {
    const kept = await localStore.get<Kept>(keyOf(log));
    if (kept?.note === witness.note) return;
    const judgement = judge(log, kept, witness);
    if (judgement.ok) {
      await localStore.set(keyOf(log), judgement.keep);
      return;
    }
    const evidence = { fault: judgement.fault, kept: kept?.note ?? '', got: witness.note };
    this.#report({ evaluation: log, ...evidence });
    this.alarm = { evaluation: log, ...evidence };
  }
}
