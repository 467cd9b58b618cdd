import * as v from 'valibot';
import { instant, slug } from './ids.ts';
import { text } from './text.ts';

/**
 * The board is one Yjs document per evaluation: the root map `BOARD_ENTRIES` holds immutable entries
 * under `<seat>/<id>` (JSON text of `boardEntry`), and each `noteRoot` is a free shared text.
 */
export const BOARD_ENTRIES = 'entries';
export const GENERAL_NOTE = 'general';
export const noteRoot = (task: string): string => `note:${task}`;
export const boardKey = (seat: string, id: string): string => `${seat}/${id}`;
export const BOARD_KEY = /^(st_[A-Za-z0-9_-]{22})\/([A-Za-z0-9_-]{22})$/u;

/** Longest shared note, in UTF-16 units. */
export const NOTE_MAX = 20_000;

/** A remark; a correction is a new entry that names the old one in `replaces`. */
export const boardEntry = v.strictObject({
  kind: v.literal('remark'),
  task: v.nullable(slug),
  text: text(1, 2000),
  at: instant,
  replaces: v.nullable(v.pipe(v.string(), v.regex(BOARD_KEY))),
});
export type BoardEntry = v.InferOutput<typeof boardEntry>;
