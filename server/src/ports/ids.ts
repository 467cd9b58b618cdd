/** Randomness from outside: ids, secrets and nonces. */
export interface Ids {
  /** `prefix_` and 128 random bits in base64url. */
  readonly id: (prefix: string) => string;
  /** `bytes` random bytes in base64url. */
  readonly secret: (bytes: number) => string;
  /** Eight signs to be typed, XXXX-XXXX. */
  readonly code: () => string;
  /** 32 random bytes in hexadecimal. */
  readonly nonce: () => string;
}
