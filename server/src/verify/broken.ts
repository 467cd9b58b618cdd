/** What does not hold, or is odd. */
export interface Finding {
  /** Which check, in the order they are made. */
  step: string;
  /** Where in the bundle. */
  where: string;
  what: string;
}

/** Thrown at the first thing that does not hold. */
export class Broken extends Error {
  readonly finding: Finding;
  constructor(step: string, where: string, what: string) {
    super(what);
    this.finding = { step, where, what };
  }
}
