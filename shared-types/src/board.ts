import * as v from 'valibot';
import { BOARD_KEY } from './board-key.ts';
import { instant, slug } from './ids.ts';
import { text } from './text.ts';
import { trialEntry, trialVoid } from './trial.ts';

/** A remark; a correction is a new entry that names the old one in `replaces`. */
export const remarkEntry = v.strictObject({
  kind: v.literal('remark'),
  task: v.nullable(slug),
  text: text(1, 2000),
  at: instant,
  replaces: v.nullable(v.pipe(v.string(), v.regex(BOARD_KEY))),
});
export type RemarkEntry = v.InferOutput<typeof remarkEntry>;

/** What people put on the board. */
export const boardEntry = v.variant('kind', [remarkEntry, trialEntry, trialVoid]);
export type BoardEntry = v.InferOutput<typeof boardEntry>;
