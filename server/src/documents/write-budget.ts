import type { Timers } from '../ports/timers.ts';

/** Writes a connection may make: a burst, then so many a second. */
const BURST = 60;
const A_SECOND = 30;

/** SY-10: a token bucket for one connection, filled by a clock that only counts: one that is set back locks nobody out. */
export class WriteBudget {
  readonly #timers: Timers;
  #left = BURST;
  #at: number;

  constructor(timers: Timers) {
    this.#timers = timers;
    this.#at = timers.counted();
  }

  /** Takes one write; false when the connection writes too fast. */
  take(): boolean {
    const now = this.#timers.counted();
    this.#left = Math.min(BURST, this.#left + ((now - this.#at) / 1000) * A_SECOND);
    this.#at = now;
    if (this.#left < 1) return false;
    this.#left--;
    return true;
  }
}
