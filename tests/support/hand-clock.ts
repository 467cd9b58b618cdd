import type { Timers } from '../../server/src/ports/timers.ts';

/** A clock that stands until it is moved; what is due runs in order. */
export class HandClock implements Timers {
  #now = Date.parse('2026-03-02T09:00:00.000Z');
  #counted = 0;
  #waiting: { at: number; call: () => void }[] = [];

  now(): number {
    return this.#now;
  }

  counted(): number {
    return this.#counted;
  }

  /** Sets the clock, without time going by. */
  jump(ms: number): void {
    this.#now += ms;
    for (const waiting of this.#waiting) waiting.at += ms;
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
      const to = Math.max(this.#now, next.at);
      this.#counted += to - this.#now;
      this.#now = to;
      next.call();
    }
    this.#counted += until - this.#now;
    this.#now = until;
  }
}
