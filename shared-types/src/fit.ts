import * as v from 'valibot';
import { fitId, modelCode, seatId } from './ids.ts';
import { line, text } from './text.ts';

const step = v.strictObject({
  what: line(1, 200),
  result: v.picklist(['met', 'not-met', 'not-applicable']),
  remark: line(0, 300),
});
export type FitStep = v.InferOutput<typeof step>;

/**
 * How a specimen sat on its model, checked step by step against the maker's instructions. `seconds` is the time the
 * fitting took. What the model says of comfort is biased by the piece they are used to: that stands beside it.
 */
export const fitCheck = v.strictObject({
  instructions: v.strictObject({ title: line(1, 160), edition: line(0, 80) }),
  steps: v.pipe(v.array(step), v.minLength(1), v.maxLength(60)),
  /** The seat of who checked. */
  checker: seatId,
  model: v.strictObject({ code: modelCode, size: line(0, 60) }),
  seconds: v.nullable(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(36_000))),
  problems: text(0, 1000),
  comfort: v.nullable(
    v.strictObject({
      said: line(1, 300),
      usedToAnother: v.picklist(['yes', 'no', 'unknown']),
      bias: line(0, 300),
    }),
  ),
  outcome: v.picklist(['passed', 'failed']),
});
export type FitCheck = v.InferOutput<typeof fitCheck>;

/** FI-2: why a check has not passed: a step that is not met, or nothing that was met. Null when it may pass. */
export const unfitFor = (steps: readonly FitStep[]): 'unmet' | 'nothingMet' | null => {
  if (steps.some((s) => s.result === 'not-met')) return 'unmet';
  return steps.some((s) => s.result === 'met') ? null : 'nothingMet';
};

/** What a fit check puts into the log. A correction names the check whose place it takes, and says why. */
export const fitChecked = v.strictObject({
  type: v.literal('fit-checked'),
  data: v.strictObject({
    fit: fitId,
    check: fitCheck,
    replaces: v.nullable(fitId),
    reason: v.nullable(text(1, 2000)),
  }),
});

/** A moderator lets the first round open without a passed fit check, where the evaluation asks for one. */
export const fitOverridden = v.strictObject({
  type: v.literal('fit-overridden'),
  data: v.strictObject({ reason: text(1, 2000) }),
});

/** How an evaluation stands to its fit check: the newest check counts, and an override only until the next check. */
export type FitStanding = 'not-asked' | 'missing' | 'failed' | 'passed' | 'overridden';

/** One check as it is shown. */
export interface ShownFitCheck extends FitCheck {
  fit: string;
  at: string;
  /** The seat that entered it. */
  by: string;
  replaces: string | null;
  reason: string | null;
  /** A later check that corrects this one. */
  replacedBy: string | null;
}

export interface FitSlice {
  standing: FitStanding;
  /** In the order they were entered. */
  checks: ShownFitCheck[];
  /** Every override, in order; `standing` says whether the last still holds. */
  overrides: { reason: string; by: string; at: string }[];
}
