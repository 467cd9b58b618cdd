import type { Timers } from '../../server/src/ports/timers.ts';

/** A clock that stands until it is moved; what is due runs in order. */
export class HandClock implements Timers {
  #now = Date.parse('2026-03-02T09:00:00.000Z');
  #waiting: { at: number; call: () => void }[] = [];

  now(): number {
    return this.#now;
  }

  after(ms: number, call: () => void): () => void {
    const entry = { at: this.#now + ms, call };
    this.#waiting.push(entry);
    return () => {
      this.#waiting = this.#waiting.filter((w) => w !== entry);
    };
  }

  advance(ms: number): void {
    const until = this.#now + ms;
    for (;;) {
      const [next] = this.#waiting.filter((w) => w.at <= until).toSorted((a, b) => a.at - b.at);
      if (!next) break;
      this.#waiting = this.#waiting.filter((w) => w !== next);
      this.#now = Math.max(this.#now, next.at);
      next.call();
    }
    this.#now = until;
  }
}
