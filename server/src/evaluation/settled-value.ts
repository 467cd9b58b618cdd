import type { EvaluationState } from './state.ts';
import type { TaskStanding } from './standing.ts';

/**
 * EV-4: adopting, and leaving open, take the median of the last counted ratings as they stand; deciding takes
 * the moderator's value. Undefined while the task is not settled, or when nothing was rated.
 */
export const settledValue = (
  state: EvaluationState,
  standing: TaskStanding,
): number | undefined => {
  const settled = state.settled.get(standing.task);
  if (!settled) return undefined;
  return settled.how === 'decide' ? Number(settled.value) : standing.median;
};
