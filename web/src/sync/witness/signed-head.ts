import { ed25519 } from '@noble/curves/ed25519.js';
import { sha256 } from '@noble/hashes/sha2.js';
import { concatBytes, utf8ToBytes } from '@noble/hashes/utils.js';
import type { TreeHead } from './consistency.ts';

/** A checkpoint whose signature holds. */
export interface SignedHead extends TreeHead {
  /** `<server>/<log id>`. */
  origin: string;
}

const ALGORITHM = 1;
const SIGNATURE = 64;
const KEY_ID = 4;

/** Base64 with one spelling only; undefined for anything else. */
const bytesOf = (text: string): Uint8Array | undefined => {
  try {
    const binary = atob(text);
    return btoa(binary) === text ? Uint8Array.from(binary, (c) => c.charCodeAt(0)) : undefined;
  } catch {
    return undefined;
  }
};

const hex = (bytes: Uint8Array): string =>
  Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join('');

/** Name and public key of a verifier key `<name>+<id>+<base64(1 || key)>` (C2SP signed-note). */
const keyOf = (text: string): { name: string; id: Uint8Array; key: Uint8Array } | undefined => {
  const [, name, id, data] = /^([^+\s]+)\+([0-9a-f]{8})\+(\S+)$/u.exec(text) ?? [];
  const bytes = data === undefined ? undefined : bytesOf(data);
  if (name === undefined || bytes?.length !== 33 || bytes[0] !== ALGORITHM) return undefined;
  const hash = sha256(concatBytes(utf8ToBytes(name), Uint8Array.of(10), bytes));
  const own = hash.slice(0, KEY_ID);
  return hex(own) === id ? { name, id: own, key: bytes.slice(1) } : undefined;
};

const headOf = (text: string): SignedHead | undefined => {
  const [, origin, digits, encoded] = /^([^\n]+)\n(0|[1-9]\d{0,15})\n([^\n]+)\n$/u.exec(text) ?? [];
  const root = encoded === undefined ? undefined : bytesOf(encoded);
  const size = Number(digits);
  if (origin === undefined || root?.length !== 32 || !Number.isSafeInteger(size)) return undefined;
  return { origin, size, root };
};

/**
 * Opens a signed note with one key: its text when the signature holds, undefined otherwise. RFC 8032 strictly (no
 * ZIP 215), as the server's own verification. Source: C2SP signed-note.
 */
const openText = (note: string, verifierKey: string): string | undefined => {
  const key = keyOf(verifierKey);
  const [, text, lines] = /^([^]*\n)\n((?:\u2014 \S+ \S+\n)+)$/u.exec(note) ?? [];
  if (!key || text === undefined || lines === undefined) return undefined;
  const signed = lines
    .trimEnd()
    .split('\n')
    .some((line) => {
      const [, name, encoded = ''] = line.split(' ');
      const bytes = bytesOf(encoded);
      if (name !== key.name || bytes?.length !== KEY_ID + SIGNATURE) return false;
      if (hex(bytes.slice(0, KEY_ID)) !== hex(key.id)) return false;
      const message = utf8ToBytes(text);
      return ed25519.verify(bytes.slice(KEY_ID), message, key.key, { zip215: false });
    });
  return signed ? text : undefined;
};

/** The checkpoint of a note that this key signed; undefined for any other. Source: C2SP tlog-checkpoint. */
export const openHead = (note: string, verifierKey: string): SignedHead | undefined => {
  const text = openText(note, verifierKey);
  return text === undefined ? undefined : headOf(text);
};

/** The key of the same name that a succession names after `before`, signed by that one; undefined for any other note. */
export const openSuccession = (note: string, before: string): string | undefined => {
  const [title, named, next = '', ...rest] = openText(note, before)?.split('\n') ?? [];
  const fits = title === 'unhindered key succession' && named === before && rest.join() === '';
  const name = keyOf(next)?.name;
  return fits && name !== undefined && name === keyOf(before)?.name ? next : undefined;
};
