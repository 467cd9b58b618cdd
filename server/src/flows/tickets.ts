import type { Ticket, TicketStore } from '../ports/ticket-store.ts';
import type { App } from './app.ts';
import { secretHash } from './secrets.ts';

const TICKET_MS = 60_000;

/**
 * AC-4: single-use tickets for document sockets, good for a minute and bound to session and document: a page of
 * another origin that opens a socket with the visitor's cookie has none, and one in a proxy's log is worthless.
 */
export class Tickets {
  readonly #app: App;
  readonly #kept: TicketStore;

  constructor(app: App, kept: TicketStore) {
    this.#app = app;
    this.#kept = kept;
  }

  async issue(whose: Omit<Ticket, 'until'>): Promise<string> {
    const now = this.#app.timers.now();
    const ticket = this.#app.ids.secret(16);
    await this.#kept.put(secretHash(ticket), { ...whose, until: now + TICKET_MS }, now);
    return ticket;
  }

  /** The evaluation a ticket is for, once; undefined when it does not fit. */
  async use(
    ticket: string,
    session: string | undefined,
    document: string | undefined,
  ): Promise<{ evaluation: string; panel: string } | undefined> {
    const found = await this.#kept.take(secretHash(ticket));
    if (!found || found.until < this.#app.timers.now()) return undefined;
    if (found.session !== session || found.document !== document) return undefined;
    return { evaluation: found.evaluation, panel: found.panel };
  }
}
