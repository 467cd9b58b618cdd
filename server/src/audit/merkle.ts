import { sha256 } from './sha256.ts';

/** RFC 6962 domain separation: a leaf can never be taken for a node. */
const LEAF = Uint8Array.of(0);
const NODE = Uint8Array.of(1);

export const leafHash = (leaf: Uint8Array | string): Uint8Array => sha256(LEAF, leaf);
const nodeHash = (left: Uint8Array, right: Uint8Array): Uint8Array => sha256(NODE, left, right);

/** Root of the empty tree. */
export const emptyRoot = (): Uint8Array => sha256('');

/**
 * The right edge of an RFC 6962 tree: the roots of its perfect subtrees, largest first. Appending costs O(1)
 * amortised and never reads earlier leaves.
 */
export class Frontier {
  #peaks: Uint8Array[] = [];
  #size = 0;

  get size(): number {
    return this.#size;
  }

  /** Appends one leaf by its hash. */
  append(hash: Uint8Array): void {
    let node = hash;
    for (let count = this.#size; count % 2 === 1; count = (count - 1) / 2) {
      const left = this.#peaks.pop();
      if (!left) throw new Error('the frontier lost a peak');
      node = nodeHash(left, node);
    }
    this.#peaks.push(node);
    this.#size++;
  }

  root(): Uint8Array {
    const [last, ...rest] = this.#peaks.toReversed();
    return last ? rest.reduce((right, left) => nodeHash(left, right), last) : emptyRoot();
  }

  /** An independent copy, to try an append that may not be committed. */
  copy(): Frontier {
    const other = new Frontier();
    other.#peaks = [...this.#peaks];
    other.#size = this.#size;
    return other;
  }
}

/** Largest power of two below `size` (size >= 2). */
const split = (size: number): number => 2 ** Math.floor(Math.log2(size - 1));

/** Root of a list of leaf hashes. */
export const merkleRoot = (leaves: readonly Uint8Array[]): Uint8Array => {
  const [first] = leaves;
  if (!first) return emptyRoot();
  if (leaves.length === 1) return first;
  const k = split(leaves.length);
  return nodeHash(merkleRoot(leaves.slice(0, k)), merkleRoot(leaves.slice(k)));
};

/** Audit path of leaf `index` in the tree of `leaves` (RFC 6962 2.1.1). Throws outside the tree. */
export const inclusionProof = (leaves: readonly Uint8Array[], index: number): Uint8Array[] => {
  if (index < 0 || index >= leaves.length) throw new RangeError('no such leaf');
  if (leaves.length === 1) return [];
  const k = split(leaves.length);
  return index < k
    ? [...inclusionProof(leaves.slice(0, k), index), merkleRoot(leaves.slice(k))]
    : [...inclusionProof(leaves.slice(k), index - k), merkleRoot(leaves.slice(0, k))];
};

/** Proof that the tree of the first `size` leaves is a prefix of this tree (RFC 6962 2.1.2). */
export const consistencyProof = (leaves: readonly Uint8Array[], size: number): Uint8Array[] => {
  if (size < 1 || size > leaves.length) throw new RangeError('no such earlier tree');
  const sub = (part: readonly Uint8Array[], m: number, whole: boolean): Uint8Array[] => {
    if (m === part.length) return whole ? [] : [merkleRoot(part)];
    const k = split(part.length);
    return m <= k
      ? [...sub(part.slice(0, k), m, whole), merkleRoot(part.slice(k))]
      : [...sub(part.slice(k), m - k, false), merkleRoot(part.slice(0, k))];
  };
  return sub(leaves, size, true);
};

const equal = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);

/** RFC 9162 2.1.3.2. False for any index, size or path that does not fit; never throws. */
export const verifyInclusion = (
  leaf: Uint8Array,
  index: number,
  size: number,
  path: readonly Uint8Array[],
  root: Uint8Array,
): boolean => {
  if (!Number.isSafeInteger(index) || index < 0 || index >= size) return false;
  let fn = BigInt(index);
  let sn = BigInt(size - 1);
  let r = leaf;
  for (const p of path) {
    if (sn === 0n) return false;
    if ((fn & 1n) === 1n || fn === sn) {
      r = nodeHash(p, r);
      while ((fn & 1n) === 0n && fn !== 0n) {
        fn >>= 1n;
        sn >>= 1n;
      }
    } else r = nodeHash(r, p);
    fn >>= 1n;
    sn >>= 1n;
  }
  return sn === 0n && equal(r, root);
};

/**
 * RFC 9162 2.1.4.2. False for anything that does not prove `first` a prefix of `second`, and for an empty
 * first tree, which every log extends; never throws.
 */
export const verifyConsistency = (
  first: { size: number; root: Uint8Array },
  second: { size: number; root: Uint8Array },
  proof: readonly Uint8Array[],
): boolean => {
  if (first.size > second.size || first.size < 1) return false;
  if (first.size === second.size) return proof.length === 0 && equal(first.root, second.root);
  const powerOfTwo = (first.size & (first.size - 1)) === 0;
  const path = powerOfTwo ? [first.root, ...proof] : [...proof];
  const [start, ...rest] = path;
  if (!start || (proof.length === 0 && !powerOfTwo)) return false;
  let fn = BigInt(first.size - 1);
  let sn = BigInt(second.size - 1);
  while ((fn & 1n) === 1n) {
    fn >>= 1n;
    sn >>= 1n;
  }
  let fr = start;
  let sr = start;
  for (const c of rest) {
    if (sn === 0n) return false;
    if ((fn & 1n) === 1n || fn === sn) {
      fr = nodeHash(c, fr);
      sr = nodeHash(c, sr);
      while ((fn & 1n) === 0n && fn !== 0n) {
        fn >>= 1n;
        sn >>= 1n;
      }
    } else sr = nodeHash(sr, c);
    fn >>= 1n;
    sn >>= 1n;
  }
  return sn === 0n && equal(fr, first.root) && equal(sr, second.root);
};
