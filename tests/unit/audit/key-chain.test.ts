import { describe, expect, test } from 'vitest';
import { signCheckpoint } from '../../../server/src/audit/checkpoint.ts';
import {
  keyOfNote,
  keysOf,
  openCheckpointBy,
  openSuccession,
  signSuccession,
} from '../../../server/src/audit/key-chain.ts';
import { signNote, verifierKey } from '../../../server/src/audit/signed-note.ts';
import { readNote, readSuccession } from '../../../server/src/verify/bytes.ts';
import { takingOver } from '../../support/rotated.ts';

const first = { name: 'lab.example', seed: new Uint8Array(32).fill(1) };
const second = takingOver(first, 2);
const third = takingOver(second, 3);
const [k1, k2, k3] = [first, second, third].map(verifierKey) as [string, string, string];
const head = { origin: 'lab.example/ev_1', size: 3, root: new Uint8Array(32).fill(9) };

describe('KR-1: a key is believed only on the word of the one before it', () => {
  test('a chain names every key, oldest first', () => {
    expect(keysOf(first)).toEqual([k1]);
    expect(keysOf(third)).toEqual([k1, k2, k3]);
  });

  test('a chain with a link missing, forged or swapped is none', () => {
    const [one = '', two = ''] = third.successions ?? [];
    const stranger = { name: 'lab.example', seed: new Uint8Array(32).fill(7) };
    // The stranger signs what the first key should have said.
    const text = one.slice(0, one.indexOf('\n\n') + 1);
    const forged = signNote(text, stranger);
    for (const successions of [[two], [two, one], [one], [forged, two], [one, one, two]]) {
      if (successions.length === 1 && successions[0] === two) continue;
      expect(() => keysOf({ ...third, successions }), String(successions.length)).toThrow(/key/u);
    }
    expect(openSuccession(forged)).toBeUndefined();
    expect(readSuccession(forged, k1)).toEqual({ fault: 'it is signed by another key' });
  });

  test('a key does not name one of another server, nor itself', () => {
    const elsewhere = verifierKey({ name: 'other.example', seed: second.seed });
    for (const next of [elsewhere, k1]) {
      const note = signSuccession(first, next);
      expect(openSuccession(note)).toBeUndefined();
      expect(readSuccession(note, k1)).toEqual({ fault: 'the verifier key is malformed' });
    }
  });

  test('a succession is no checkpoint and a checkpoint no succession', () => {
    const [note = ''] = second.successions ?? [];
    expect(readSuccession(note, k1)).toBe(k2);
    expect(readNote(note, k1)).toBe('it is not a signed checkpoint');
    expect(openCheckpointBy(note, [k1, k2])).toMatchObject({ ok: false });
    const checkpoint = signCheckpoint(head, first);
    expect(openSuccession(checkpoint)).toBeUndefined();
    expect(readSuccession(checkpoint, k1)).toHaveProperty('fault');
  });

  test('a checkpoint is opened by the key that signed it, and never by one before the last', () => {
    const [old, now] = [signCheckpoint(head, first), signCheckpoint(head, third)];
    const keys = keysOf(third);
    expect(openCheckpointBy(old, keys)).toMatchObject({ ok: true, by: 0 });
    expect(openCheckpointBy(now, keys)).toMatchObject({ ok: true, by: 2 });
    expect(openCheckpointBy(old, keys, 2)).toMatchObject({ ok: false });
    expect(openCheckpointBy(old.replace('\n3\n', '\n4\n'), keys)).toMatchObject({
      why: 'the signature does not match the text',
    });
    expect(keyOfNote(third, old)).toEqual({ key: k1, successions: [] });
    expect(keyOfNote(third, now)).toEqual({ key: k3, successions: third.successions });
  });
});
