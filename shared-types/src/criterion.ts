import * as v from 'valibot';
import { finite } from './numbers.ts';

const measure = v.pipe(v.string(), v.regex(/^[a-z][A-Za-z0-9_-]{0,63}$/u));
const positive = v.pipe(finite, v.minValue(0));
const share = v.pipe(finite, v.minValue(0), v.maxValue(1));

/** One part of a criterion, told from what one trial measured. Limits in the unit of the measure. */
export const criterionPart = v.variant('kind', [
  /** Not done within so many seconds. */
  v.strictObject({ kind: v.literal('not-done-within'), measure, seconds: positive }),
  /** The value lies above the limit. */
  v.strictObject({ kind: v.literal('above'), measure, limit: finite }),
  /** The value lies further from zero than the limit, either way. */
  v.strictObject({ kind: v.literal('away-from-zero'), measure, limit: positive }),
  /** The value lies below the limit, and at least `by` below the mean of the same operator's reference trials. */
  v.strictObject({ kind: v.literal('below-reference'), measure, limit: finite, by: positive }),
  /** What no measure tells: the recorder's mark. */
  v.strictObject({ kind: v.literal('recorded') }),
]);

/** Met when one part is. */
const anyOf = v.strictObject({
  kind: v.literal('any'),
  of: v.pipe(v.array(criterionPart), v.minLength(2), v.maxLength(10)),
});

/**
 * A share of attempts pooled over the trials of a task, with its own least number of attempts: met when the share lies
 * below `below` and its upper 95 % Wilson limit below `upperBelow`, as fractions.
 */
const pooledShare = v.strictObject({
  kind: v.literal('pooled-share'),
  measure,
  below: share,
  upperBelow: share,
  minAttempts: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(100_000)),
});

/** What numbers can decide of a task's trial criterion. The protocol's sentence stays the rule. */
export const taskCriterion = v.variant('kind', [...criterionPart.options, anyOf, pooledShare]);

export type CriterionPart = v.InferOutput<typeof criterionPart>;
export type TaskCriterion = v.InferOutput<typeof taskCriterion>;
export type PooledShareCriterion = Extract<TaskCriterion, { kind: 'pooled-share' }>;
/** A criterion that is judged trial by trial. */
export type TrialCriterion = Exclude<TaskCriterion, PooledShareCriterion>;

/** The measures that a criterion asks for. */
export const criterionMeasures = (criterion: TaskCriterion): string[] => {
  if (criterion.kind === 'any') return criterion.of.flatMap(criterionMeasures);
  return 'measure' in criterion ? [criterion.measure] : [];
};
