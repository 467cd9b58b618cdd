import { setTimeout as pause } from 'node:timers/promises';
import type { Log } from '../ports/log.ts';

/**
 * OP-5: work that goes on beside what people ask for. Before a store is closed none is begun any more and what is under way
 * is waited for, so that a stop that was asked for ends without a fault.
 */
export class UnderWay {
  readonly #log: Log;
  readonly #all = new Set<Promise<void>>();
  #over = false;

  constructor(log: Log) {
    this.#log = log;
  }

  /** Begins a piece of work; `words` go before a fault in the operator's log. */
  begin(words: string, work: () => Promise<void>): void {
    if (this.#over) return;
    const piece = work()
      .catch((error: unknown) => this.#log.error(words, error))
      .finally(() => this.#all.delete(piece));
    this.#all.add(piece);
  }

  /** Does it again and again, every so many milliseconds. */
  every(ms: number, words: string, work: () => Promise<void>): void {
    const timer = setInterval(() => {
      if (this.#over) clearInterval(timer);
      else this.begin(words, work);
    }, ms);
    timer.unref();
  }

  /** Begins nothing any more; resolves when nothing is under way, or after `atMost` milliseconds: a line may be dead. */
  async end(atMost: number): Promise<void> {
    this.#over = true;
    await Promise.race([Promise.all(this.#all), pause(atMost, undefined, { ref: false })]);
  }
}
