import type { Timers } from '../ports/timers.ts';

/** What another process told is believed this long, milliseconds; it tells again well before. */
const BELIEVED_MS = 25_000;

/** Seats that are online at other processes, as far as those told lately. */
export class Elsewhere {
  readonly #timers: Timers;
  readonly #told = new Map<string, { seats: ReadonlySet<string>; until: number }>();

  constructor(timers: Timers) {
    this.#timers = timers;
  }

  /** Takes the list of one process; true when it says something new. */
  hear(seats: readonly string[], from: string): boolean {
    const before = this.#told.get(from)?.seats ?? new Set<string>();
    this.#told.set(from, { seats: new Set(seats), until: this.#timers.now() + BELIEVED_MS });
    return before.size !== seats.length || seats.some((seat) => !before.has(seat));
  }

  has(seat: string): boolean {
    const now = this.#timers.now();
    return [...this.#told.values()].some(({ seats, until }) => until > now && seats.has(seat));
  }
}
