import type { Timers } from '../ports/timers.ts';

/** Writes a connection may make: a burst, then so many a second. */
const BURST = 60;
const A_SECOND = 30;

/** A token bucket for one connection. */
export class WriteBudget {
  readonly #timers: Timers;
  #left = BURST;
  #at: number;

  constructor(timers: Timers) {
    this.#timers = timers;
    this.#at = timers.now();
  }

  /** Takes one write; false when the connection writes too fast. */
  take(): boolean {
    const now = this.#timers.now();
    this.#left = Math.min(BURST, this.#left + ((now - this.#at) / 1000) * A_SECOND);
    this.#at = now;
    if (this.#left < 1) return false;
    this.#left--;
    return true;
  }
}
