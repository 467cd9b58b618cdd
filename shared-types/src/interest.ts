import * as v from 'valibot';
import { slug } from './ids.ts';
import { text } from './text.ts';

/**
 * A declared tie. `maker` and `rival` take the reviewer out of every task, `tool` out of the tasks that
 * use the tool; `task` (designed the protocol item) is shown and takes nobody out.
 */
const tie = v.variant('to', [
  v.strictObject({ to: v.literal('maker'), detail: text(3, 500) }),
  v.strictObject({ to: v.literal('rival'), detail: text(3, 500) }),
  v.strictObject({ to: v.literal('tool'), tool: slug, detail: text(3, 500) }),
  v.strictObject({ to: v.literal('task'), task: slug, detail: text(3, 500) }),
]);
export type Tie = v.InferOutput<typeof tie>;

/** What a person declares before the first rating. No ties is a declaration too. */
export const declaration = v.strictObject({
  ties: v.pipe(v.array(tie), v.maxLength(20)),
  /** How well the person knows the pieces under review. */
  familiarity: v.picklist(['none', 'seen', 'handled', 'daily']),
});
export type Declaration = v.InferOutput<typeof declaration>;
