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
  ...['o-sequence-005', 'o-sequence-006'].map((id): [string, CaseChange] => [
    id,
    {
      kind: 'not-applicable',
      reason:
        'There are no versions to be stale: a sheet has one owner, and what their own devices write merges (Yjs).',
    },
  ]),
]);
