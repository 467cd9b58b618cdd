import {
  type PracticeComparison,
  type PracticeTask,
  type Protocol,
  type Rating,
} from '@unhindered/shared-types';
import { againstSettled } from './learning.ts';
import { settledValue } from './settled-value.ts';
import { allStandings } from './standing.ts';
import type { EvaluationState } from './state.ts';

/** One answer of a practice. */
export interface PracticeRating {
  task: string;
  rating: Rating;
}

/** Without a distance last; else the farthest first. */
const order = (a: PracticeTask, b: PracticeTask): number =>
  (b.distance === null ? -1 : Math.abs(b.distance)) -
  (a.distance === null ? -1 : Math.abs(a.distance));

/**
 * CP-1: a practice beside the panel, task by task: own answer, settled value with how and why, the panel's lowest and
 * highest counted rating, and the distance. It reads the locked record and adds nothing to it.
 */
export const comparePractice = (
  state: EvaluationState,
  protocol: Protocol,
  ratings: readonly PracticeRating[],
): Pick<PracticeComparison, 'tasks' | 'compared' | 'mean' | 'distance' | 'withinOne'> => {
  const standings = new Map(allStandings(state, protocol).map((s) => [s.task, s]));
  const titles = new Map(protocol.sections.flatMap((s) => s.tasks).map((t) => [t.id, t.title]));
  const tasks = ratings.map(({ task, rating }): PracticeTask => {
    const standing = standings.get(task);
    const decision = state.settled.get(task);
    const value = standing && settledValue(state, standing);
    const values = standing?.values ?? [];
    return {
      task,
      title: titles.get(task) ?? task,
      own: rating,
      settled:
        value === undefined || !decision
          ? null
          : { value, how: decision.how, reason: decision.reason },
      panel: {
        n: values.length,
        lowest: values.length === 0 ? null : Math.min(...values),
        highest: values.length === 0 ? null : Math.max(...values),
      },
      distance: rating.step === null || value === undefined ? null : rating.step - value,
    };
  });
  const { n, ...rest } = againstSettled(tasks.flatMap((t) => t.distance ?? []));
  return { tasks: tasks.toSorted(order), compared: n, ...rest };
};
