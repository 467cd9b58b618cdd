import { createHash } from 'node:crypto';

/** SHA-256 of the concatenated parts. */
export const sha256 = (...parts: (Uint8Array | string)[]): Uint8Array => {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part);
  return hash.digest();
};

/** SHA-256 in lower-case hexadecimal. */
export const sha256Hex = (...parts: (Uint8Array | string)[]): string =>
  Buffer.from(sha256(...parts)).toString('hex');
