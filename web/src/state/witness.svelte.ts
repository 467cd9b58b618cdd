import type { Witness, WitnessFault, WitnessMessage } from '@unhindered/shared-types';
import { localStore } from '../sync/local-store.ts';
import type { Kept } from '../sync/witness/judge.ts';

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
  #last: Promise<void> = Promise.resolve();

  constructor(report: (message: WitnessMessage) => void) {
    this.#report = report;
  }

  /** Events of a log that this device has checked. */
  async seen(log: string): Promise<number> {
    return (await localStore.get<Kept>(keyOf(log)))?.size ?? 0;
  }

  /** Checks a note from the server and keeps it, or raises the alarm. */
  take(log: string, witness: Witness): Promise<void> {
    this.#last = this.#last.then(() => this.#check(log, witness));
    return this.#last;
  }

  async #check(log: string, witness: Witness): Promise<void> {
    const kept = await localStore.get<Kept>(keyOf(log));
    if (kept?.note === witness.note) return;
    await afterwards();
    const { judge } = await import('../sync/witness/judge.ts');
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
