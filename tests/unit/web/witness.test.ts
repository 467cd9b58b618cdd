import { describe, expect, test } from 'vitest';
import checkpoints from '../../../fixtures/vectors/checkpoint.json' with { type: 'json' };
import merkle from '../../../fixtures/vectors/merkle.json' with { type: 'json' };
import { signCheckpoint } from '../../../server/src/audit/checkpoint.ts';
import { consistencyProof, leafHash, merkleRoot } from '../../../server/src/audit/merkle.ts';
import { verifierKey } from '../../../server/src/audit/signed-note.ts';
import { continues } from '../../../web/src/sync/witness/consistency.ts';
import { judge, type Kept } from '../../../web/src/sync/witness/judge.ts';
import { openHead } from '../../../web/src/sync/witness/signed-head.ts';

const bytes = (base64: string): Uint8Array => new Uint8Array(Buffer.from(base64, 'base64'));

describe('the device checks what transparency-dev/merkle published', () => {
  // An empty first tree proves nothing about a log: a device keeps none.
  const probes = merkle.consistency.filter((p) => p.size1 > 0);
  test.each(probes.map((p) => [p.file, p] as const))('%s', (_, probe) => {
    const found = continues(
      { size: probe.size1, root: bytes(probe.root1) },
      { size: probe.size2, root: bytes(probe.root2) },
      (probe.proof ?? []).map(bytes),
    );
    expect(found).toBe(!probe.wantErr);
  });
});

describe('the device opens C2SP signed notes as the server does', () => {
  test.each(checkpoints.logs)('a recorded log of $size', ({ checkpoint, vkey, origin, size }) => {
    expect(openHead(checkpoint, vkey)).toMatchObject({ origin, size });
  });
  test.each(checkpoints.notes.filter((n) => !n.ok))('$id is refused', ({ note, vkeys }) => {
    expect(vkeys.some((vkey) => openHead(note, vkey) !== undefined)).toBe(false);
  });
});

const LOG = 'ev_1';
const signer = { name: 'lab.example', seed: new Uint8Array(32).fill(7) };
const key = verifierKey(signer);
const history = (...events: string[]): Uint8Array[] => events.map((e) => leafHash(e));

/** What a server with these events says to a device that has seen `seen` of them. */
const say = (leaves: Uint8Array[], seen: number, by = signer) => ({
  key: verifierKey(by),
  note: signCheckpoint(
    { origin: `${by.name}/${LOG}`, size: leaves.length, root: merkleRoot(leaves) },
    by,
  ),
  proof:
    seen > leaves.length
      ? null
      : seen === 0
        ? []
        : consistencyProof(leaves, seen).map((n) => Buffer.from(n).toString('hex')),
});
const after = (...events: string[]): Kept => {
  const judged = judge(LOG, undefined, say(history(...events), 0));
  if (!judged.ok) throw new Error(judged.fault);
  return judged.keep;
};
const faultOf = (kept: Kept | undefined, said: ReturnType<typeof say>): string => {
  const judged = judge(LOG, kept, said);
  return judged.ok ? 'none' : judged.fault;
};

describe('WI-1: a device believes a log only as long as it goes on from what it saw', () => {
  test('a log that grew is kept at its new size', () => {
    const kept = after('a', 'b', 'c');
    const judged = judge(LOG, kept, say(history('a', 'b', 'c', 'd', 'e'), 3));
    expect(judged).toMatchObject({ ok: true, keep: { size: 5 } });
  });
  test('the same log again', () => {
    expect(faultOf(after('a', 'b'), say(history('a', 'b'), 2))).toBe('none');
  });
  test('a log that was cut back is a rewind', () => {
    expect(faultOf(after('a', 'b', 'c'), say(history('a', 'b'), 3))).toBe('rewind');
  });
  test('another history of the same or a greater length is a fork', () => {
    expect(faultOf(after('a', 'b'), say(history('a', 'x'), 2))).toBe('fork');
    expect(faultOf(after('a', 'b'), say(history('a', 'x', 'c'), 2))).toBe('fork');
  });
  test('a proof for another size, or none, is a fork', () => {
    expect(faultOf(after('a', 'b'), say(history('a', 'b', 'c', 'd'), 1))).toBe('fork');
    const silent = { ...say(history('a', 'b', 'c'), 2), proof: null };
    expect(faultOf(after('a', 'b'), silent)).toBe('fork');
  });
  test('another key, another log, and a changed note have no valid signature', () => {
    const other = { name: 'lab.example', seed: new Uint8Array(32).fill(8) };
    expect(faultOf(after('a'), say(history('a', 'b'), 1, other))).toBe('signature');
    const said = say(history('a', 'b'), 1);
    expect(faultOf(after('a'), { ...said, note: said.note.replace('\n2\n', '\n3\n') })).toBe(
      'signature',
    );
    expect(judge('ev_2', undefined, say(history('a'), 0))).toMatchObject({ fault: 'signature' });
  });
  test('a device whose own note was damaged starts anew and accuses nobody', () => {
    const kept = { key, note: 'damaged', size: 9 };
    expect(faultOf(kept, say(history('a', 'b'), 0))).toBe('none');
  });
});
