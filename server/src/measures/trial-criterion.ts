import { mean } from '../consensus/mean.ts';
import type { MeasuredTrial } from './trial.ts';
import { withinCap } from './within-cap.ts';

/** What decides for one trial whether a task's critical failure was met. */
export type TrialCriterion =
  /** Not done within so many seconds. */
  | { kind: 'not-done-within'; measure: string; seconds: number }
  /** The value lies above the limit. */
  | { kind: 'above'; measure: string; limit: number }
  /** The value lies further from zero than the limit, either way. */
  | { kind: 'away-from-zero'; measure: string; limit: number }
  /** The value lies below the limit, and at least `by` below the mean of the same operator's reference trials. */
  | { kind: 'below-reference'; measure: string; limit: number; by: number }
  /** What no measure tells: the recorder's mark. */
  | { kind: 'recorded' }
  /** Met when one part is. */
  | { kind: 'any'; of: TrialCriterion[] };

/** `unknown`: what the criterion asks for was not measured in this trial. */
export type CriterionAnswer = 'met' | 'not-met' | 'unknown';

const measured = (trial: MeasuredTrial, measure: string): number | undefined => {
  const entry = trial.values.get(measure);
  return entry === undefined || entry.censored ? undefined : entry.value;
};

const answer = (known: boolean | undefined): CriterionAnswer =>
  known === undefined ? 'unknown' : known ? 'met' : 'not-met';

const beyond = (value: number | undefined, limit: number): CriterionAnswer =>
  answer(value === undefined ? undefined : value > limit);

const belowReference = (
  trial: MeasuredTrial,
  trials: readonly MeasuredTrial[],
  of: { measure: string; limit: number; by: number },
): CriterionAnswer => {
  const value = measured(trial, of.measure);
  if (value === undefined) return 'unknown';
  if (value >= of.limit) return 'not-met';
  const reference = mean(
    trials
      .filter((t) => t.condition === 'reference' && t.operator === trial.operator)
      .flatMap((t) => measured(t, of.measure) ?? []),
  );
  return answer(reference === undefined ? undefined : reference - value >= of.by - 1e-9);
};

/** One part met is enough; with none met, a part that could not be judged leaves it unknown only if all could not. */
const anyOf = (answers: readonly CriterionAnswer[]): CriterionAnswer => {
  if (answers.includes('met')) return 'met';
  return answers.every((a) => a === 'unknown') ? 'unknown' : 'not-met';
};

/** Judges one equipment trial; `trials` are all valid trials of the task, for the operator's reference. */
export const meetsCriterion = (
  criterion: TrialCriterion,
  trial: MeasuredTrial,
  trials: readonly MeasuredTrial[],
): CriterionAnswer => {
  switch (criterion.kind) {
    case 'not-done-within': {
      const time = trial.values.get(criterion.measure);
      const done = time ? withinCap(time, criterion.seconds) : 'unknown';
      return done === 'done' ? 'not-met' : done === 'not-done' ? 'met' : 'unknown';
    }
    case 'above':
      return beyond(measured(trial, criterion.measure), criterion.limit);
    case 'away-from-zero': {
      const value = measured(trial, criterion.measure);
      return beyond(value === undefined ? undefined : Math.abs(value), criterion.limit);
    }
    case 'below-reference':
      return belowReference(trial, trials, criterion);
    case 'recorded':
      return answer(trial.criterionSeen);
    case 'any':
      return anyOf(criterion.of.map((part) => meetsCriterion(part, trial, trials)));
  }
};
