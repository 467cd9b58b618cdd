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

  /** Seconds to wait before the next try; 0 when one may be made. */
  async wait(source: string): Promise<number> {
    const states = [
      { used: await this.#minute.get(source), most: A_MINUTE },
      { used: await this.#ten.get(source), most: IN_TEN_MINUTES },
      { used: await this.#all.get('all'), most: ALL_IN_TEN_MINUTES },
    ];
    const waits = states.map(({ used, most }) =>
      used && used.consumedPoints >= most ? Math.ceil(used.msBeforeNext / 1000) : 0,
    );
    return Math.max(...waits);
  }

  /** Notes a wrong try. */
  async wrong(source: string): Promise<void> {
    await this.#minute.penalty(source);
    await this.#ten.penalty(source);
    await this.#all.penalty('all');
  }
}
