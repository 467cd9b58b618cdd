import type { Timers } from '../ports/timers.ts';

/** Client ids one seat may bring in a minute. */
const A_MINUTE = 4;
/** Client ids in one document. */
const CLIENTS = 500;
const MINUTE_MS = 60_000;

/** Counts the Yjs client ids that seats bring into one document: every reload brings one, a flood brings many. */
export class ClientBirths {
  readonly #timers: Timers;
  readonly #born: { seat: string; at: number }[] = [];

  constructor(timers: Timers) {
    this.#timers = timers;
  }

  /** Whether a seat may bring `count` more into a document with `known` of them; when it may, they are counted. */
  take(seat: string, count: number, known: number): boolean {
    if (count === 0) return true;
    const now = this.#timers.now();
    // What lies ahead of a clock that was set back is not recent: it would bar the seat until the clock caught up.
    const isRecent = (at: number): boolean => now >= at && now - at < MINUTE_MS;
    const recent = this.#born.filter((b) => b.seat === seat && isRecent(b.at)).length;
    if (recent + count > A_MINUTE || known + count > CLIENTS) return false;
    for (let i = 0; i < count; i++) this.#born.push({ seat, at: now });
    return true;
  }
}
