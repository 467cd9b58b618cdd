import type { TrialCriterion } from '@unhindered/shared-types';
import { mean } from '../consensus/mean.ts';
import type { MeasuredTrial } from './trial.ts';
import { withinCap } from './within-cap.ts';

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
      return answer(trial.criterionSeen ?? undefined);
    case 'any':
      return anyOf(criterion.of.map((part) => meetsCriterion(part, trial, trials)));
  }
};

/** What one trial answers, and from what. */
export interface TrialAnswer {
  answer: CriterionAnswer;
  /** Measured values told it; else the recorder's mark did, or nothing. */
  measured: boolean;
  /** The recorder marked the other thing than the measured values say. */
  differs: boolean;
}

/** What the measured values alone can answer; undefined for a criterion that only the mark can. */
const measuredPart = (criterion: TrialCriterion): TrialCriterion | undefined => {
  if (criterion.kind === 'recorded') return undefined;
  if (criterion.kind !== 'any') return criterion;
  return { kind: 'any', of: criterion.of.filter((part) => part.kind !== 'recorded') };
};

/**
 * TC-1: measured values answer a criterion where they can, and the recorder's mark answers it where they tell nothing.
 * Where both speak and say different things the values stand, and the difference is told, not hidden. A mark for what
 * no measure tells is no difference.
 */
export const judgeTrial = (
  criterion: TrialCriterion,
  trial: MeasuredTrial,
  trials: readonly MeasuredTrial[],
): TrialAnswer => {
  const { criterionSeen: seen } = trial;
  const part = measuredPart(criterion);
  const values = part ? meetsCriterion(part, trial, trials) : 'unknown';
  const whole = meetsCriterion(criterion, trial, trials);
  const marks = criterion.kind === 'any' ? criterion.of.some((p) => p.kind === 'recorded') : false;
  return {
    answer: whole === 'unknown' ? answer(seen ?? undefined) : whole,
    measured: values !== 'unknown' && !(values === 'not-met' && whole === 'met'),
    differs:
      (values === 'met' && seen === false) || (values === 'not-met' && seen === true && !marks),
  };
};
