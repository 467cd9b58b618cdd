import { openCheckpoint, type OpenedCheckpoint } from './checkpoint.ts';
import {
  openNote,
  parseVerifierKey,
  signNote,
  verifierKey,
  type NoteSigner,
  type VerifierKey,
} from './signed-note.ts';

/** First line of a succession: no checkpoint can be taken for one, nor the other way round. */
const TITLE = 'unhindered key succession';

/** A signer that may have taken over from earlier keys. */
export interface Signer extends NoteSigner {
  /** Succession notes, oldest first: each key's word for the next, the last of which is this signer's. None at first. */
  successions?: readonly string[];
}

/** The key to check with, or all of a chain, oldest first. */
export type TrustedKeys = VerifierKey | readonly VerifierKey[];

/** The note in which a key names the one that signs after it, as a C2SP signed note. */
export const signSuccession = (by: NoteSigner, next: VerifierKey): string =>
  signNote(`${TITLE}\n${verifierKey(by)}\n${next}\n`, by);

/** The two keys of a succession that the first of them signed; undefined for anything else. */
export const openSuccession = (
  note: string,
): { before: VerifierKey; next: VerifierKey } | undefined => {
  const [title, before = '', next = '', ...rest] = note.split('\n\n', 1)[0]?.split('\n') ?? [];
  if (title !== TITLE || rest.length > 0) return undefined;
  const [old, young] = [parseVerifierKey(before), parseVerifierKey(next)];
  if (!old || old.name !== young?.name || before === next) return undefined;
  return openNote(note, before).ok ? { before, next } : undefined;
};

/** Keys of the signers of this process: they are asked for with every checkpoint that is told. */
const known = new WeakMap<Signer, readonly VerifierKey[]>();

/**
 * KR-1: every key of a signer, oldest first: a key is believed only on the word of the one before it. Throws when a note
 * is not that.
 */
export const keysOf = (signer: Signer): readonly VerifierKey[] => {
  const keys = known.get(signer) ?? chainOf(signer);
  known.set(signer, keys);
  return keys;
};

const chainOf = (signer: Signer): readonly VerifierKey[] => {
  const keys: VerifierKey[] = [];
  for (const note of signer.successions ?? []) {
    const opened = openSuccession(note);
    if (!opened || (keys.length > 0 && keys.at(-1) !== opened.before)) {
      throw new Error('a key is not vouched for by the one before it');
    }
    if (keys.length === 0) keys.push(opened.before);
    keys.push(opened.next);
  }
  const own = verifierKey(signer);
  if (keys.length === 0) return [own];
  if (keys.at(-1) !== own) throw new Error('the signing key is not the one that was named last');
  return keys;
};

/**
 * A checkpoint whose signature by one of the keys holds, from the `from`th on, and which key that is: later checkpoints
 * of a log are never by an earlier key.
 */
export const openCheckpointBy = (
  note: string,
  trusted: TrustedKeys,
  from = 0,
): OpenedCheckpoint & { by: number } => {
  const keys = typeof trusted === 'string' ? [trusted] : trusted;
  let first: (OpenedCheckpoint & { by: number }) | undefined;
  for (let by = from; by < keys.length; by++) {
    const opened = { ...openCheckpoint(note, keys[by] ?? ''), by };
    if (opened.ok) return opened;
    first ??= opened;
  }
  return first ?? { ok: false, why: 'there is no key to check it with', by: from };
};

/** The key that signed a checkpoint of this signer's logs, and the notes that lead to it from the first key. */
export const keyOfNote = (
  signer: Signer,
  note: string,
): { key: VerifierKey; successions: readonly string[] } => {
  const keys = keysOf(signer);
  if (keys.length === 1) return { key: keys[0] ?? '', successions: [] };
  const opened = openCheckpointBy(note, keys);
  const by = opened.ok ? opened.by : keys.length - 1;
  return { key: keys[by] ?? '', successions: (signer.successions ?? []).slice(0, by) };
};
