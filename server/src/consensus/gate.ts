/** The verdict's first word. Never a conformity stamp: it speaks of this staged test alone. */
export type Verdict =
  | { kind: 'care-was-blocked'; tasks: string[] }
  | { kind: 'no-confirmed-critical-failure'; tasks: [] };

/**
 * GA-1: only the moderator's confirmation gates. A proposal, a rating at the worst point or a met trial
 * criterion each call for a decision; none of them gates by itself, and no composite can outweigh one that
 * was confirmed. `decided` in protocol order.
 */
export const verdict = (decided: readonly { task: string; confirmed: boolean }[]): Verdict => {
  const tasks = decided.filter((d) => d.confirmed).map((d) => d.task);
  return tasks.length > 0
    ? { kind: 'care-was-blocked', tasks }
    : { kind: 'no-confirmed-critical-failure', tasks: [] };
};

/** A trial criterion is met in at least `minTrials` valid trials and at least `minShare` of them. */
export const trialCriterionMet = (
  met: number,
  valid: number,
  minTrials: number,
  minShare: number,
): 'met' | 'not-met' | 'not-enough-trials' => {
  if (valid < minTrials) return 'not-enough-trials';
  return met >= minTrials && met / valid >= minShare ? 'met' : 'not-met';
};
