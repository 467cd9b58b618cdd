import type { Timers } from '../ports/timers.ts';

/** Writes a connection may make: a burst, then so many a second. */
const BURST = 60;
const A_SECOND = 30;

/** SY-10: a token bucket for one connection, filled by a clock that only counts: one that is set back locks nobody out. */
export class WriteBudget {
  readonly #timers: Timers;
  readonly #burst: number;
  #left: number;
  #at: number;

  constructor(timers: Timers, burst = BURST) {
    this.#timers = timers;
    this.#burst = burst;
    this.#left = burst;
    this.#at = timers.counted();
  }

  /** Takes one write; false when the connection writes too fast. */
  take(): boolean {
    const now = this.#timers.counted();
    this.#left = Math.min(this.#burst, this.#left + ((now - this.#at) / 1000) * A_SECOND);
    this.#at = now;
    if (this.#left < 1) return false;
    this.#left--;
    return true;
  }
}
