import type { Ticket, TicketStore } from '../ports/ticket-store.ts';

/** Tickets of the only process there is. */
export class MemoryTickets implements TicketStore {
  readonly #tickets = new Map<string, Ticket>();

  put(key: string, ticket: Ticket, now: number): Promise<void> {
    for (const [old, { until }] of this.#tickets) if (until < now) this.#tickets.delete(old);
    this.#tickets.set(key, ticket);
    return Promise.resolve();
  }

  take(key: string): Promise<Ticket | undefined> {
    const ticket = this.#tickets.get(key);
    this.#tickets.delete(key);
    return Promise.resolve(ticket);
  }
}
