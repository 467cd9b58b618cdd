/** A way into one document's socket, for one session, until a moment in milliseconds. */
export interface Ticket {
  session: string;
  document: string;
  evaluation: string;
  panel: string;
  until: number;
}

/** Keeps tickets where every process that may be asked for them finds them. They need not outlive a crash. */
export interface TicketStore {
  /** Keeps a ticket under a hash of its secret, and forgets those that are over at `now`. */
  put(key: string, ticket: Ticket, now: number): Promise<void>;
  /** Takes a ticket away and returns it: only one who asks gets it. */
  take(key: string): Promise<Ticket | undefined>;
}
