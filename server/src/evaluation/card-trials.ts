import { isStanding, type CardTrials } from '@unhindered/shared-types';
import { median } from '../consensus/quantile.ts';
import type { EvaluationState } from './state.ts';

/**
 * CC-4: what the timed attempts on the bench say of each task, for the care card: those with the equipment that stand;
 * void, replaced, practice and reference ones are left out. The time is the middle one of those that were done.
 */
export const cardTrials = ({
  trials,
}: Pick<EvaluationState, 'trials'>): Map<string, CardTrials> => {
  const standing = [...trials.values()]
    .filter(isStanding)
    .map((t) => t.entry)
    .filter((t) => t.condition === 'equipment');
  return new Map(
    [...new Set(standing.map((t) => t.task))].map((task) => {
      const own = standing.filter((t) => t.task === task);
      const done = own.filter((t) => t.done);
      const times = done.flatMap((t) => (t.seconds === null ? [] : [Number(t.seconds)]));
      return [task, { done: done.length, of: own.length, medianSeconds: median(times) ?? null }];
    }),
  );
};
