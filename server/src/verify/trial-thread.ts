import type { EvaluationEvent } from '@unhindered/shared-types';

/** A board entry as the log holds it. */
export type Posted = Extract<EvaluationEvent, { type: 'entry-posted' }>['data'];

/** A trial through its corrections: who entered it, the keys it had, what it says now, and whether it is void. */
export interface TrialThread {
  seat: string;
  keys: string[];
  now: Extract<Posted['entry'], { kind: 'trial' }>;
  out: boolean;
}

/** What board entries need of the replay. */
export interface Bench {
  seats: ReadonlyMap<string, { role: string }>;
  /** Keys of board entries, and the trials among them. */
  entries: Set<string>;
  trials: TrialThread[];
}
