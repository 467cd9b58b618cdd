import type { WriteOutcome } from '../ports/document-store.ts';

/** What became of each write of a batch, and the numbers that those which were kept stand under. */
export interface Outcomes {
  writes: WriteOutcome[];
  numbers: number[];
}

/** From the number of each write, null where the document was frozen. */
export const outcomesOf = (kept: readonly (number | null)[]): Outcomes => ({
  writes: kept.map((n) => (n === null ? 'frozen' : 'kept')),
  numbers: kept.filter((n) => n !== null),
});
