import type { Outcome } from './case.ts';

/** A case whose stated outcome is deliberately another here, or that speaks of something this tool does not have. */
export type CaseChange =
  | {
      kind: 'changed';
      reason: string;
      /** What is expected instead. */
      outcome: Outcome;
      /** Asserts of the case that do not hold here, on purpose. */
      without: readonly string[];
    }
  | { kind: 'not-applicable'; reason: string };

/** Every deviation from the corpus, case by case. */
export const changes: ReadonlyMap<string, CaseChange> = new Map<string, CaseChange>([
  [
    'o-awareness-001',
    {
      kind: 'changed',
      outcome: 'ignored',
      without: [],
      reason:
        'Presence is shaped by the server from seats and sockets; what a client says of itself is never relayed, so ' +
        'that nothing can leak or be forged through it.',
    },
  ],
  [
    'o-sequence-005',
    {
      kind: 'changed',
      outcome: 'ignored',
      without: ['error-says-current-version'],
      reason:
        'A sheet has one owner, and what their own devices write merges (Yjs): there is no version number to be wrong. ' +
        'What plays its part is the count of a device’s edits. Under a count that was used before nothing is taken, ' +
        'the newer value stands, and no device of ours would send it.',
    },
  ],
]);
