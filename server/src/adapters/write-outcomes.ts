import type { Outcomes } from '../ports/store.ts';

/** From the number of each write, null where the document was frozen. */
export const outcomesOf = (kept: readonly (number | null)[]): Outcomes => ({
  writes: kept.map((n) => (n === null ? 'frozen' : 'kept')),
  numbers: kept.filter((n) => n !== null),
});
