import { RateLimiterMemory } from 'rate-limiter-flexible';
import type { CodeClosing, CodeDoor } from '../ports/code-door.ts';

/** Wrong codes a source may try in a minute, and in ten minutes; codes are 39 bits and live ten minutes. */
const A_MINUTE = 5;
const IN_TEN_MINUTES = 20;
const ALL_IN_TEN_MINUTES = 200;
/** How long a closing stays on show, and how many sources are kept for it. */
const SHOWN_MS = 3600_000;
const SOURCES = 1000;

const limiters = () => ({
  minute: new RateLimiterMemory({ points: A_MINUTE, duration: 60 }),
  ten: new RateLimiterMemory({ points: IN_TEN_MINUTES, duration: 600 }),
  all: new RateLimiterMemory({ points: ALL_IN_TEN_MINUTES, duration: 600 }),
});

const text = (at: number): string => new Date(at).toISOString();

/**
 * Counts wrong tries. Who has joined already is never locked out; links are not counted against codes. AC-17: what is
 * closed because of guessing is told to every moderator, and any of them opens it again.
 */
export class CodeLimits implements CodeDoor {
  readonly #now: () => number;
  #limiters = limiters();
  /** By source, when it was closed and until when it waits. */
  #sources = new Map<string, { at: number; until: number }>();
  #everybody = { at: 0, until: 0 };
  closed = (): void => undefined;

  /** `now` is the clock by which closings are shown. */
  constructor(now: () => number = Date.now) {
    this.#now = now;
  }

  /**
   * Counts a try before it is made, so that many at once cannot pass together. Returns the seconds to wait; 0 when
   * the try may be made. A try that is turned away counts no further: one source cannot use up the limit of all.
   */
  async take(source: string): Promise<number> {
    const { minute, ten, all } = this.#limiters;
    for (const limiter of [minute, ten, all]) {
      const whose = limiter === all ? 'all' : source;
      const { consumedPoints, msBeforeNext } = await limiter.penalty(whose);
      if (consumedPoints <= limiter.points) continue;
      this.#note(limiter === all ? null : source, msBeforeNext);
      return Math.ceil(msBeforeNext / 1000);
    }
    return 0;
  }

  /** The code was right: the try does not count. */
  async giveBack(source: string): Promise<void> {
    const { minute, ten, all } = this.#limiters;
    await Promise.all([minute.reward(source), ten.reward(source), all.reward('all')]);
  }

  closing(): CodeClosing | null {
    const now = this.#now();
    const recent = [...this.#sources.values(), this.#everybody].filter(
      (c) => c.at > 0 && now - c.at < SHOWN_MS,
    );
    if (recent.length === 0) return null;
    const until = Math.max(0, ...[...this.#sources.values()].map((c) => c.until));
    return {
      at: text(Math.max(...recent.map((c) => c.at))),
      sources: recent.filter((c) => c !== this.#everybody).length,
      everybodyUntil: this.#everybody.until > now ? text(this.#everybody.until) : null,
      sourceUntil: until > now ? text(until) : null,
    };
  }

  reopen(): void {
    this.#limiters = limiters();
    this.#sources.clear();
    this.#everybody = { at: 0, until: 0 };
  }

  /** Remembers what is closed; told once, when it was open before. */
  #note(source: string | null, ms: number): void {
    const now = this.#now();
    const known = source === null ? this.#everybody : this.#sources.get(source);
    const news = known === undefined || known.until <= now;
    const entry = { at: news ? now : known.at, until: now + ms };
    if (source === null) this.#everybody = entry;
    else if (this.#sources.size < SOURCES || known) this.#sources.set(source, entry);
    else return;
    if (news) this.closed();
  }
}
