import { describe, expect, test } from 'vitest';
import { openCheckpoint, signCheckpoint } from '../../server/src/audit/checkpoint.ts';
import { leafHash, merkleRoot } from '../../server/src/audit/merkle.ts';
import { openNote, verifierKey } from '../../server/src/audit/signed-note.ts';
import vectors from '../../fixtures/vectors/checkpoint.json' with { type: 'json' };

describe('C2SP signed notes (C2SP, golang/mod, transparency-dev/tessera)', () => {
  test.each(vectors.notes)('$id', ({ note, vkeys, ok }) => {
    const opened = vkeys.some((vkey) => openNote(note, vkey).ok);
    expect(opened).toBe(ok);
  });
});

describe('recorded log checkpoints (transparency-dev/tessera)', () => {
  test.each(vectors.logs)('size $size', ({ checkpoint, vkey, origin, size, entries_utf8 }) => {
    const opened = openCheckpoint(checkpoint, vkey);
    if (!opened.ok) throw new Error(opened.why);
    expect(opened.checkpoint).toMatchObject({ origin, size });
    const root = merkleRoot(entries_utf8.map((entry) => leafHash(Buffer.from(entry))));
    expect(Buffer.from(opened.checkpoint.root).equals(Buffer.from(root))).toBe(true);
  });
});

test('a checkpoint of ours opens with its own key and no other', () => {
  const signer = { name: 'lab.example/one', seed: new Uint8Array(32).fill(7) };
  const other = { name: 'lab.example/one', seed: new Uint8Array(32).fill(8) };
  const root = leafHash('event');
  const note = signCheckpoint({ origin: 'lab.example/one/ev', size: 1, root }, signer);
  expect(openCheckpoint(note, verifierKey(signer))).toMatchObject({ ok: true });
  expect(openCheckpoint(note, verifierKey(other))).toMatchObject({ ok: false });
  expect(openCheckpoint(note.replace('\n1\n', '\n2\n'), verifierKey(signer))).toMatchObject({
    ok: false,
    why: 'the signature does not match the text',
  });
});
