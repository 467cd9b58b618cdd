import * as v from 'valibot';
import { BOARD_KEY } from './board-key.ts';
import { instant, slug } from './ids.ts';
import { text } from './text.ts';
import { trialEntry, trialVoid } from './trial.ts';

/**
 * The board is one Yjs document per evaluation: the root map `BOARD_ENTRIES` holds immutable entries
 * under `<seat>/<id>` (JSON text of `boardEntry`), and each `noteRoot` is a free shared text.
 */
export const BOARD_ENTRIES = 'entries';
export const GENERAL_NOTE = 'general';
export const noteRoot = (task: string): string => `note:${task}`;

/** Longest shared note, in UTF-16 units. */
export const NOTE_MAX = 20_000;

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
