import type { Protocol } from '@unhindered/shared-types';
import { canonicalText } from '../audit/canonical-json.ts';
import { sha256Hex } from '../audit/sha256.ts';

/** PR-1: a protocol version is its canonical text; its hash names it in every log that uses it. */
export const protocolText = (protocol: Protocol): { text: string; hash: string } => {
  const text = canonicalText(protocol);
  return { text, hash: sha256Hex(text) };
};
