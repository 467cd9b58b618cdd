import { randomBytes, randomInt } from 'node:crypto';
import type { Ids } from '../ports/ids.ts';

/** AC-7: signs of a typed code: no 0 O, 1 I L, U that hand and ear confuse. 30 signs, 8 of them: 39 bits. */
export const CODE_SIGNS = '23456789ABCDEFGHJKMNPQRSTVWXYZ';

const code = (): string => {
  const signs = Array.from({ length: 8 }, () => CODE_SIGNS[randomInt(CODE_SIGNS.length)] ?? '2');
  return `${signs.slice(0, 4).join('')}-${signs.slice(4).join('')}`;
};

/** Ids from the operating system's random source. */
export const randomIds: Ids = {
  id: (prefix) => `${prefix}_${randomBytes(16).toString('base64url')}`,
  secret: (bytes) => randomBytes(bytes).toString('base64url'),
  code,
  nonce: () => randomBytes(32).toString('hex'),
};
