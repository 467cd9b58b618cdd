/**
 * Where an evaluation stands: its phase and the state of its current round. Opening is by round, never by
 * task. A round closes when the next one starts or the evaluation locks.
 */
export const STAGES = ['preparing', 'sealed', 'opened', 'locked', 'withdrawn'] as const;
export type Stage = (typeof STAGES)[number];
