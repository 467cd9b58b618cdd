import type { RejectionCode } from '@unhindered/shared-types';
import { secretHash } from '../flows/secrets.ts';
import type { Log } from '../ports/log.ts';
import type { Timers } from '../ports/timers.ts';
import { cookieToken } from './origin.ts';

/** Where somebody was turned away, and what they asked for, both in the program's own words: never what they sent. */
export interface Attempt {
  door: 'http' | 'panel socket' | 'document socket';
  asked: string;
  code: string;
  /** The request's cookie header: its session is named by the start of its id, which is a hash of the token. */
  cookie: string | undefined;
}

/** Answers that mean somebody tried what they may not; slips in a form are not attempts. */
const ATTEMPTS = new Set<RejectionCode>([
  'not-signed-in',
  'not-seated',
  'role-may-not',
  'interest-bars',
  'code-unknown',
  'too-many-tries',
  'unknown-thing',
  'duplicate-command',
]);

export const isAttempt = (code: RejectionCode): boolean => ATTEMPTS.has(code);

/** Lines in a minute; somebody who floods the door shall not flood the disk. */
const LINES = 60;
const MINUTE_MS = 60_000;

/**
 * LO-1: who tries what they may not stands on the running log: door, question, answer and session; no text, token,
 * name or rating. Beyond a number of lines in a minute they are counted and told in one.
 */
export class RefusalLog {
  readonly #log: Log;
  readonly #timers: Timers;
  #since: number;
  #lines = 0;

  constructor(log: Log, timers: Timers) {
    this.#log = log;
    this.#timers = timers;
    this.#since = timers.now();
  }

  note({ door, asked, code, cookie }: Attempt): void {
    const now = this.#timers.now();
    if (now < this.#since || now - this.#since >= MINUTE_MS) {
      const more = this.#lines - LINES;
      if (more > 0) this.#log.info('refused', { door: 'all', asked: 'more of the same', more });
      this.#since = now;
      this.#lines = 0;
    }
    this.#lines++;
    if (this.#lines > LINES) return;
    const token = cookieToken(cookie);
    const session = token === undefined ? 'none' : secretHash(token).slice(0, 8);
    this.#log.info('refused', { door, asked, code, session });
  }
}
