import { RateLimiterMemory } from 'rate-limiter-flexible';

/** Wrong codes a source may try in a minute, and in ten minutes; codes are 39 bits and live ten minutes. */
const A_MINUTE = 5;
const IN_TEN_MINUTES = 20;
const ALL_IN_TEN_MINUTES = 200;

/** Counts wrong tries. Who has joined already is never locked out; links are not counted against codes. */
export class CodeLimits {
  readonly #minute = new RateLimiterMemory({ points: A_MINUTE, duration: 60 });
  readonly #ten = new RateLimiterMemory({ points: IN_TEN_MINUTES, duration: 600 });
  readonly #all = new RateLimiterMemory({ points: ALL_IN_TEN_MINUTES, duration: 600 });

  /**
   * Counts a try before it is made, so that many at once cannot pass together. Returns the seconds to wait; 0 when
   * the try may be made. A try that is turned away counts no further: one source cannot use up the limit of all.
   */
  async take(source: string): Promise<number> {
    for (const [limiter, key] of this.#limits(source)) {
      const { consumedPoints, msBeforeNext } = await limiter.penalty(key);
      if (consumedPoints > limiter.points) return Math.ceil(msBeforeNext / 1000);
    }
    return 0;
  }

  /** The code was right: the try does not count. */
  async giveBack(source: string): Promise<void> {
    for (const [limiter, key] of this.#limits(source)) await limiter.reward(key);
  }

  #limits(source: string): [RateLimiterMemory, string][] {
    return [
      [this.#minute, source],
      [this.#ten, source],
      [this.#all, 'all'],
    ];
  }
}
