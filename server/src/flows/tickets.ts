import type { App } from './app.ts';
import { secretHash } from './secrets.ts';

const TICKET_MS = 60_000;

interface Ticket {
  session: string;
  document: string;
  evaluation: string;
  panel: string;
  until: number;
}

/**
 * AC-4: single-use tickets for document sockets, good for a minute and bound to session and document: a page of
 * another origin that opens a socket with the visitor's cookie has none, and one in a proxy's log is worthless.
 */
export class Tickets {
  readonly #app: App;
  readonly #tickets = new Map<string, Ticket>();

  constructor(app: App) {
    this.#app = app;
  }

  issue(whose: Omit<Ticket, 'until'>): string {
    const now = this.#app.timers.now();
    for (const [key, t] of this.#tickets) if (t.until < now) this.#tickets.delete(key);
    const ticket = this.#app.ids.secret(16);
    this.#tickets.set(secretHash(ticket), { ...whose, until: now + TICKET_MS });
    return ticket;
  }

  /** The evaluation a ticket is for, once; undefined when it does not fit. */
  use(
    ticket: string,
    session: string | undefined,
    document: string | undefined,
  ): { evaluation: string; panel: string } | undefined {
    const key = secretHash(ticket);
    const found = this.#tickets.get(key);
    this.#tickets.delete(key);
    if (!found || found.until < this.#app.timers.now()) return undefined;
    if (found.session !== session || found.document !== document) return undefined;
    return { evaluation: found.evaluation, panel: found.panel };
  }
}
