import type { Timers } from '../ports/timers.ts';

/** A clock that is off by less was corrected in small steps; that is no jump. */
const JUMP_MS = 5000;

export interface Jump {
  /** By how much the clock was set, milliseconds; negative when it went back. */
  ms: number;
  /** What the clock should have shown and what it showed, milliseconds since the epoch. */
  expected: number;
  shown: number;
}

/**
 * The machine's clock beside one that only counts. AC-18: sessions are aged by what was counted: a clock that is set
 * forward throws nobody out, and one that is set back lets nobody stay longer.
 */
export class ClockWatch {
  readonly #timers: Timers;
  /** What the clock showed when the count was 0, and would have without its jumps. */
  #steadyBase: number;
  #shownBase: number;

  /** `skew` is the sum of the jumps on record: sessions of an earlier start are in the time before them. */
  constructor(timers: Timers, skew = 0) {
    this.#timers = timers;
    this.#shownBase = timers.now() - timers.counted();
    this.#steadyBase = this.#shownBase - skew;
  }

  /** Time that runs evenly, milliseconds: the clock's without its jumps. */
  steady(): number {
    return this.#steadyBase + this.#timers.counted();
  }

  /** A jump since the last look, once; undefined when there was none. Small corrections are followed. */
  look(): Jump | undefined {
    const shown = this.#timers.now();
    const expected = this.#shownBase + this.#timers.counted();
    const ms = Math.round(shown - expected);
    this.#shownBase += shown - expected;
    if (Math.abs(ms) >= JUMP_MS) return { ms, expected, shown };
    this.#steadyBase += shown - expected;
    return undefined;
  }
}
