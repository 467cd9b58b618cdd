import { createPrivateKey, createPublicKey, sign, verify, type KeyObject } from 'node:crypto';

/** DER prefixes of an Ed25519 public key (SPKI) and private key (PKCS #8), RFC 8410: the raw key follows. */
const SPKI = Buffer.from('302a300506032b6570032100', 'hex');
const PKCS8 = Buffer.from('302e020100300506032b657004220420', 'hex');

/** Reads raw keys, and keeps the last: thousands of signatures of a store are by one key, and reading it costs as much. */
const reader = (read: (raw: Uint8Array) => KeyObject): ((raw: Uint8Array) => KeyObject) => {
  let last: { raw: Uint8Array; key: KeyObject } | undefined;
  return (raw) => {
    if (!last || !Buffer.from(last.raw).equals(raw)) last = { raw: raw.slice(), key: read(raw) };
    return last.key;
  };
};

const privateKey = reader((seed) =>
  createPrivateKey({ key: Buffer.concat([PKCS8, seed]), format: 'der', type: 'pkcs8' }),
);
const publicKey = reader((raw) =>
  createPublicKey({ key: Buffer.concat([SPKI, raw]), format: 'der', type: 'spki' }),
);

/** Public key (32 bytes) of a secret seed (32 bytes). */
export const publicKeyOf = (seed: Uint8Array): Uint8Array => {
  const der = createPublicKey(privateKey(seed)).export({ format: 'der', type: 'spki' });
  return new Uint8Array(der.subarray(SPKI.length));
};

/** RFC 8032 signature (64 bytes) of `message` with a secret seed (32 bytes). */
export const signEd25519 = (message: Uint8Array, seed: Uint8Array): Uint8Array =>
  new Uint8Array(sign(null, message, privateKey(seed)));

/** False for a wrong signature and for a key or signature of the wrong length. */
export const verifyEd25519 = (
  message: Uint8Array,
  signature: Uint8Array,
  key: Uint8Array,
): boolean => {
  if (key.length !== 32 || signature.length !== 64) return false;
  return verify(null, message, publicKey(key), signature);
};
