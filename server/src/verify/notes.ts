import type { Bundle } from '@unhindered/shared-types';
import { Broken } from './broken.ts';
import { readNoteBy, readSuccession, treeRoot, type Note } from './bytes.ts';

/** KR-1: every key of the bundle, oldest first, each vouched for by the one before; the last is the bundle's own. */
export const keyChain = ({ successions = [], vkey }: Bundle): string[] => {
  const first = successions[0]?.split('\n')[1];
  const keys = first === undefined ? [] : [first];
  successions.forEach((note, i) => {
    const next = readSuccession(note, keys.at(-1) ?? '');
    if (typeof next !== 'string') throw new Broken('keys', `succession ${String(i)}`, next.fault);
    if (keys.includes(next))
      throw new Broken('keys', `succession ${String(i)}`, 'goes in a circle');
    keys.push(next);
  });
  if (keys.length === 0) return [vkey];
  if (keys.at(-1) !== vkey) throw new Broken('keys', 'vkey', 'is not the key that was named last');
  return keys;
};

/** The last checkpoint, when each is signed by the chain in its order and they cover every event. */
export const checkNotes = (b: Bundle, keys: readonly string[]): Note => {
  let last: Note | undefined;
  let by = 0;
  b.checkpoints.forEach((text, i) => {
    const where = `checkpoint ${String(i)}`;
    const read = readNoteBy(text, keys, by);
    if (typeof read === 'string') throw new Broken('checkpoints', where, read);
    const { note } = read;
    by = read.by;
    if (note.origin !== b.origin || !b.origin.endsWith(`/${b.log}`)) {
      throw new Broken('checkpoints', where, 'is of another log');
    }
    if (last && note.size <= last.size) throw new Broken('checkpoints', where, 'is out of order');
    if (note.size > b.events.length) {
      throw new Broken(
        'checkpoints',
        where,
        'covers events that are not here: the end was cut off',
      );
    }
    if (!treeRoot(b.events.slice(0, note.size)).equals(note.root)) {
      const from = last?.size ?? 0;
      const range = `between event ${String(from)} and ${String(note.size - 1)}`;
      throw new Broken('checkpoints', where, `the events are not the ones it signs (${range})`);
    }
    last = note;
  });
  if (last?.size !== b.events.length) {
    const unsigned = b.events.length - (last?.size ?? 0);
    throw new Broken('checkpoints', 'the end', `${String(unsigned)} events are not signed`);
  }
  if (by !== keys.length - 1) {
    throw new Broken('checkpoints', 'the end', 'is not signed by the key that the bundle names');
  }
  return last;
};

/** Checkpoints that were kept elsewhere: the bundle must go on from each. */
export const checkSeen = (b: Bundle, seen: readonly string[], keys: readonly string[]): void => {
  seen.forEach((text, i) => {
    const where = `seen checkpoint ${String(i)}`;
    const read = readNoteBy(text, keys);
    if (typeof read === 'string') throw new Broken('seen', where, read);
    const { note } = read;
    if (note.origin !== b.origin) throw new Broken('seen', where, 'is of another log');
    if (note.size > b.events.length) {
      throw new Broken('seen', where, 'REWIND: it covers more events than the bundle has');
    }
    if (!treeRoot(b.events.slice(0, note.size)).equals(note.root)) {
      throw new Broken('seen', where, 'FORK: the log it was signed over is another one');
    }
  });
};
