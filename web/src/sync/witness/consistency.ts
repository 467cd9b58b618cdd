import { sha256 } from '@noble/hashes/sha2.js';
import { concatBytes } from '@noble/hashes/utils.js';

/** How many events a log has, and the root of the RFC 6962 tree over them. */
export interface TreeHead {
  size: number;
  root: Uint8Array;
}

const nodeHash = (left: Uint8Array, right: Uint8Array): Uint8Array =>
  sha256(concatBytes(Uint8Array.of(1), left, right));

const equal = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);

/** Powers of two need no first node in their proof: it is their root. */
const isPowerOfTwo = (size: number): boolean => Number.isInteger(Math.log2(size));

/**
 * Whether `proof` shows that the log of `later` continues the log of `earlier` (RFC 9162 2.1.4.2). This is the
 * device's own check: it shares no code with the server it checks. False for anything that does not fit.
 */
export const continues = (
  earlier: TreeHead,
  later: TreeHead,
  proof: readonly Uint8Array[],
): boolean => {
  if (earlier.size < 1 || earlier.size > later.size) return false;
  if (earlier.size === later.size) return proof.length === 0 && equal(earlier.root, later.root);
  const [start, ...rest] = isPowerOfTwo(earlier.size) ? [earlier.root, ...proof] : proof;
  if (!start || proof.length === 0) return false;
  let [first, last] = [earlier.size - 1, later.size - 1];
  const up = (): void => {
    first = Math.floor(first / 2);
    last = Math.floor(last / 2);
  };
  while (first % 2 === 1) up();
  let [old, now] = [start, start];
  for (const node of rest) {
    if (last === 0) return false;
    if (first % 2 === 1 || first === last) {
      old = nodeHash(node, old);
      now = nodeHash(node, now);
      while (first % 2 === 0 && first !== 0) up();
    } else now = nodeHash(now, node);
    up();
  }
  return last === 0 && equal(old, earlier.root) && equal(now, later.root);
};
