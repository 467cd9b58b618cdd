import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import {
  consistencyProof,
  emptyRoot,
  Frontier,
  inclusionProof,
  leafHash,
  merkleRoot,
  verifyConsistency,
  verifyInclusion,
} from '../../server/src/audit/merkle.ts';
import vectors from '../../fixtures/vectors/merkle.json' with { type: 'json' };

const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');
const base64 = (text: string | null): Uint8Array =>
  new Uint8Array(Buffer.from(text ?? '', 'base64'));
const leaves = vectors.leaves_hex.map((h) => leafHash(Buffer.from(h, 'hex')));

describe('RFC 6962 hasher and roots (transparency-dev/merkle)', () => {
  test('empty tree', () => {
    expect(hex(emptyRoot())).toBe(vectors.hasher[0]?.expected);
  });

  test.each(vectors.roots_by_size)(
    'root of $size leaves, by list and by frontier',
    ({ size, root }) => {
      const frontier = new Frontier();
      for (const leaf of leaves.slice(0, size)) frontier.append(leaf);
      expect(hex(merkleRoot(leaves.slice(0, size)))).toBe(root);
      expect(hex(frontier.root())).toBe(root);
      expect(frontier.size).toBe(size);
    },
  );
});

describe('inclusion probes (transparency-dev/merkle)', () => {
  test.each(vectors.inclusion)('$file', (p) => {
    const ok = verifyInclusion(
      base64(p.leafHash),
      p.leafIdx,
      p.treeSize,
      (p.proof ?? []).map(base64),
      base64(p.root),
    );
    expect(ok).toBe(!p.wantErr);
  });
});

describe('consistency probes (transparency-dev/merkle)', () => {
  test.each(vectors.consistency)('$file', (p) => {
    const ok = verifyConsistency(
      { size: p.size1, root: base64(p.root1) },
      { size: p.size2, root: base64(p.root2) },
      (p.proof ?? []).map(base64),
    );
    expect(ok).toBe(!p.wantErr);
  });
});

test('all inclusion proofs up to 130 leaves have the rolling hash of two other implementations', () => {
  const all = Array.from({ length: 130 }, (_, i) => leafHash(Uint8Array.of(i)));
  const rolling = createHash('sha256');
  for (let n = 1; n <= 130; n++) {
    const tree = all.slice(0, n);
    for (let m = 0; m < n; m++) {
      const proof = inclusionProof(tree, m).map(hex);
      rolling.update(`${[String(m), String(n), ...proof].join(' ')}\n`);
    }
  }
  expect(rolling.digest('hex')).toBe(vectors.all_inclusion_proofs_rolling_sha256.sha256);
});

test('every consistency proof up to 40 leaves verifies, and none does after one flipped bit', () => {
  const all = Array.from({ length: 40 }, (_, i) => leafHash(Uint8Array.of(i)));
  let checked = 0;
  for (let n = 1; n <= all.length; n++) {
    const second = { size: n, root: merkleRoot(all.slice(0, n)) };
    for (let m = 1; m <= n; m++) {
      const first = { size: m, root: merkleRoot(all.slice(0, m)) };
      const proof = consistencyProof(all.slice(0, n), m);
      expect(verifyConsistency(first, second, proof)).toBe(true);
      const bad = proof.map((h) => new Uint8Array(h));
      const [hash] = bad;
      if (hash) {
        hash[0] = (hash[0] ?? 0) ^ 1;
        expect(verifyConsistency(first, second, bad)).toBe(false);
        checked++;
      }
    }
  }
  expect(checked).toBeGreaterThan(700);
});
