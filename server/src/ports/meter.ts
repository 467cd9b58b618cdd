/** How a commit of the store ended. */
export type CommitOutcome = 'kept' | 'conflict' | 'not-kept';

/**
 * OP-1: what the operator can count: how much is asked and kept, and how long it takes. Never who, in which
 * evaluation, on which task, or what. Milliseconds throughout.
 */
export interface Meter {
  /** A request was answered; `route` is the route's own pattern, never the address asked for. */
  answered(route: string, status: number, ms: number): void;
  /** A message on the panel's socket was answered: its type in the program's words, `done` or the rejection's code. */
  message(type: string, outcome: string, ms: number): void;
  /** The store was asked to keep a step. */
  committed(outcome: CommitOutcome, ms: number): void;
}

/** Counts nothing: for commands, and for a server that nobody watches. */
export const noMeter: Meter = {
  answered: () => undefined,
  message: () => undefined,
  committed: () => undefined,
};
