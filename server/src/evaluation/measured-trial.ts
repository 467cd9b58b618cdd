import { timeMeasure, type ListedTrial, type Protocol } from '@unhindered/shared-types';
import type { MeasuredTrial } from '../measures/trial.ts';

/**
 * A listed trial as criteria read it. Its own time stands under the measure that is the task's time, and is a censored
 * one when the task was not done.
 */
export const measuredTrial = (
  { key, entry }: ListedTrial,
  protocol: Protocol,
): MeasuredTrial | undefined => {
  const { condition, operator, criterion, done, seconds } = entry;
  if (condition !== 'equipment' && condition !== 'reference') return undefined;
  const timed = timeMeasure(protocol, entry.task)?.id;
  const values = new Map(
    entry.measures.map(({ measure, value, counts }) => [
      measure,
      {
        value: Number(value),
        censored: measure === timed && !done,
        counts: counts ?? undefined,
      },
    ]),
  );
  if (timed !== undefined && seconds !== null) {
    values.set(timed, { value: Number(seconds), censored: !done, counts: undefined });
  }
  return { id: key, operator, condition, values, criterionSeen: criterion };
};
