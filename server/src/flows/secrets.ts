import { sha256Hex } from '../audit/sha256.ts';

/** Secrets, codes and session tokens are kept as hashes only. */
export const secretHash = (secret: string): string => sha256Hex('secret ', secret);

/** A typed code without its dash, spaces and case: what people type is what is compared. */
export const normalCode = (typed: string): string => typed.toUpperCase().replace(/[^A-Z0-9]/gu, '');

export const codeHash = (typed: string): string => sha256Hex('code ', normalCode(typed));

/** Commitment to a name: SHA-256 of the salt (as text) and the NFC name. The name itself can be erased. */
export const nameHash = (salt: string, name: string): string =>
  sha256Hex(salt, name.normalize('NFC'));
