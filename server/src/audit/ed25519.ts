import { createPrivateKey, createPublicKey, sign, verify } from 'node:crypto';

/** DER prefixes of an Ed25519 public key (SPKI) and private key (PKCS #8), RFC 8410: the raw key follows. */
const SPKI = Buffer.from('302a300506032b6570032100', 'hex');
const PKCS8 = Buffer.from('302e020100300506032b657004220420', 'hex');

/** Public key (32 bytes) of a secret seed (32 bytes). */
export const publicKeyOf = (seed: Uint8Array): Uint8Array => {
  const key = createPrivateKey({ key: Buffer.concat([PKCS8, seed]), format: 'der', type: 'pkcs8' });
  const der = createPublicKey(key).export({ format: 'der', type: 'spki' });
  return new Uint8Array(der.subarray(SPKI.length));
};

/** RFC 8032 signature (64 bytes) of `message` with a secret seed (32 bytes). */
export const signEd25519 = (message: Uint8Array, seed: Uint8Array): Uint8Array => {
  const key = createPrivateKey({ key: Buffer.concat([PKCS8, seed]), format: 'der', type: 'pkcs8' });
  return new Uint8Array(sign(null, message, key));
};

/** False for a wrong signature and for a key or signature of the wrong length. */
export const verifyEd25519 = (
  message: Uint8Array,
  signature: Uint8Array,
  publicKey: Uint8Array,
): boolean => {
  if (publicKey.length !== 32 || signature.length !== 64) return false;
  const key = createPublicKey({
    key: Buffer.concat([SPKI, publicKey]),
    format: 'der',
    type: 'spki',
  });
  return verify(null, message, key, signature);
};
