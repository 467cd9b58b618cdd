import { createCipheriv, createDecipheriv, randomBytes } from 'node:crypto';

/** Keeps sheets unreadable in the database file while they are sealed. */
export interface SheetBox {
  seal(document: string, bytes: Uint8Array): Uint8Array;
  open(document: string, sealed: Uint8Array): Uint8Array;
}

const NONCE = 12;
const TAG = 16;

/** Random bytes for many nonces are asked for at once; none is used twice. */
const POOL = 512 * NONCE;
let pool = Buffer.alloc(0);

const nextNonce = (): Uint8Array => {
  if (pool.length < NONCE) pool = randomBytes(POOL);
  const nonce = pool.subarray(0, NONCE);
  pool = pool.subarray(NONCE);
  return nonce;
};

/**
 * ST-4: AES-256-GCM with a key that stands outside the database, so that the file alone (a stolen disk, a backup)
 * shows no rating. Bound to the document. The operator of the running server holds both and could read them.
 */
export const sheetBox = (key: Uint8Array): SheetBox => ({
  seal: (document, bytes) => {
    const nonce = nextNonce();
    const cipher = createCipheriv('aes-256-gcm', key, nonce).setAAD(Buffer.from(document));
    const body = Buffer.concat([cipher.update(bytes), cipher.final()]);
    return Buffer.concat([nonce, body, cipher.getAuthTag()]);
  },
  open: (document, sealed) => {
    const nonce = sealed.subarray(0, NONCE);
    const tag = sealed.subarray(sealed.length - TAG);
    const decipher = createDecipheriv('aes-256-gcm', key, nonce)
      .setAAD(Buffer.from(document))
      .setAuthTag(tag);
    const body = sealed.subarray(NONCE, sealed.length - TAG);
    return new Uint8Array(Buffer.concat([decipher.update(body), decipher.final()]));
  },
});
