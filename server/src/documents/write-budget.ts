import type { Timers } from '../ports/timers.ts';

/** Writes a connection may make: a burst, then so many a second. */
const BURST = 60;
const A_SECOND = 30;

/** SY-10: a token bucket for one connection. A clock that is set back takes nothing away. */
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
    const passed = Math.max(0, now - this.#at);
    this.#left = Math.min(BURST, this.#left + (passed / 1000) * A_SECOND);
    this.#at = now;
    if (this.#left < 1) return false;
    this.#left--;
    return true;
  }
}
