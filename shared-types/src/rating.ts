import * as v from 'valibot';
import { instant } from './ids.ts';
import { whole } from './numbers.ts';
import { OFF_SCALE } from './off-scale.ts';
import { shortReason, text } from './text.ts';

export const answer = v.picklist(['step', ...OFF_SCALE]);
export type Answer = v.InferOutput<typeof answer>;

/**
 * One reviewer's judgement of one task, as the log holds it. `step` is a point of the protocol's scale
 * and stands only with answer `step`; `easier` only at the datum; `reason` goes with `not-applicable`.
 * `critical` is the reason of a proposed critical failure. `at` is the device's clock, as told.
 */
export const rating = v.pipe(
  v.strictObject({
    answer,
    step: v.nullable(v.pipe(whole, v.minValue(-100), v.maxValue(100))),
    easier: v.boolean(),
    reason: v.nullable(shortReason),
    critical: v.nullable(text(3, 1000)),
    note: v.nullable(text(1, 2000)),
    at: v.nullable(instant),
  }),
  v.check(
    (r) => (r.answer === 'step') === (r.step !== null),
    'A step goes with the answer "step".',
  ),
);
export type Rating = v.InferOutput<typeof rating>;
