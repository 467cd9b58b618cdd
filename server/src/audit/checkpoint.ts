import { openNote, signNote, type NoteSigner, type VerifierKey } from './signed-note.ts';

/** What a log commits to: its origin, how many events, and the root over them. */
export interface Checkpoint {
  origin: string;
  size: number;
  root: Uint8Array;
}

/** The three lines that are signed, C2SP tlog-checkpoint without extension lines. */
export const checkpointText = (c: Checkpoint): string =>
  `${c.origin}\n${String(c.size)}\n${Buffer.from(c.root).toString('base64')}\n`;

/** A signed note over the checkpoint; the signer is named by the origin. */
export const signCheckpoint = (c: Checkpoint, signer: NoteSigner): string =>
  signNote(checkpointText(c), signer);

/** Reads the three lines strictly: one spelling for one checkpoint. Undefined for anything else. */
export const parseCheckpointText = (text: string): Checkpoint | undefined => {
  const [, origin, digits, encoded] = /^([^\n]+)\n(0|[1-9]\d{0,15})\n([^\n]+)\n$/u.exec(text) ?? [];
  if (origin === undefined || digits === undefined || encoded === undefined) return undefined;
  const root = Buffer.from(encoded, 'base64');
  const size = Number(digits);
  if (root.length !== 32 || root.toString('base64') !== encoded) return undefined;
  return Number.isSafeInteger(size) ? { origin, size, root: new Uint8Array(root) } : undefined;
};

export type OpenedCheckpoint = { ok: true; checkpoint: Checkpoint } | { ok: false; why: string };

/** A checkpoint whose signature by `key` holds. */
export const openCheckpoint = (note: string, key: VerifierKey): OpenedCheckpoint => {
  const opened = openNote(note, key);
  if (!opened.ok) return opened;
  const checkpoint = parseCheckpointText(opened.text);
  return checkpoint
    ? { ok: true, checkpoint }
    : { ok: false, why: 'the signed text is not a checkpoint' };
};
