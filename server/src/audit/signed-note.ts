import { publicKeyOf, signEd25519, verifyEd25519 } from './ed25519.ts';
import { sha256 } from './sha256.ts';

/** Ed25519 in the signed-note format, C2SP signed-note. */
const ALGORITHM = 1;
/** More signature lines than this are refused before any is checked. */
const MAX_SIGNATURES = 100;
const DASH = '\u2014';

/** A signer: its name, and the secret seed (32 bytes). */
export interface NoteSigner {
  name: string;
  seed: Uint8Array;
}

/** A verifier as its text form `<name>+<hex key id>+<base64(1 || public key)>`. */
export type VerifierKey = string;

const validName = (name: string): boolean => name !== '' && !/[\s+]/u.test(name);

const keyId = (name: string, publicKey: Uint8Array): Buffer =>
  Buffer.from(sha256(name, Uint8Array.of(10, ALGORITHM), publicKey)).subarray(0, 4);

/** The verifier key text of a signer. */
export const verifierKey = (signer: NoteSigner): VerifierKey => {
  const publicKey = publicKeyOf(signer.seed);
  const data = Buffer.concat([Uint8Array.of(ALGORITHM), publicKey]).toString('base64');
  return `${signer.name}+${keyId(signer.name, publicKey).toString('hex')}+${data}`;
};

/** Base64 that has one spelling: decoding and encoding again gives the same text. */
const strictBase64 = (text: string): Buffer | undefined => {
  const bytes = Buffer.from(text, 'base64');
  return bytes.toString('base64') === text ? bytes : undefined;
};

/** Name, key id and public key of a verifier key; undefined when it is not one of ours. */
export const parseVerifierKey = (
  text: VerifierKey,
): { name: string; id: Buffer; publicKey: Uint8Array } | undefined => {
  const match = /^([^+\s]+)\+([0-9a-f]{8})\+(\S+)$/u.exec(text);
  const [, name, id, data] = match ?? [];
  if (name === undefined || id === undefined || data === undefined) return undefined;
  const bytes = strictBase64(data);
  if (bytes?.length !== 33 || bytes[0] !== ALGORITHM) return undefined;
  const publicKey = new Uint8Array(bytes.subarray(1));
  const expected = keyId(name, publicKey);
  return expected.toString('hex') === id ? { name, id: expected, publicKey } : undefined;
};

/** Signs a text (it must end in a line feed): text, empty line, one signature line. */
export const signNote = (text: string, signer: NoteSigner): string => {
  if (!text.endsWith('\n')) throw new TypeError('a note ends in a line feed');
  if (!validName(signer.name)) throw new TypeError('a signer has a name without space or plus');
  const signature = Buffer.concat([
    keyId(signer.name, publicKeyOf(signer.seed)),
    signEd25519(Buffer.from(text), signer.seed),
  ]);
  return `${text}\n${DASH} ${signer.name} ${signature.toString('base64')}\n`;
};

export type OpenedNote = { ok: true; text: string } | { ok: false; why: string };

/** The signed text of a note when `key` signed it; else why not. Signatures of unknown keys are passed over. */
export const openNote = (note: string, key: VerifierKey): OpenedNote => {
  const verifier = parseVerifierKey(key);
  if (!verifier) return { ok: false, why: 'the verifier key is malformed' };
  if (/[\u0000-\u0009\u000b-\u001f]/u.test(note)) {
    return { ok: false, why: 'the note has control characters' };
  }
  const cut = note.lastIndexOf('\n\n');
  if (cut < 0 || !note.endsWith('\n')) return { ok: false, why: 'the note has no signature part' };
  const text = note.slice(0, cut + 1);
  const lines = note.slice(cut + 2, -1).split('\n');
  if (lines.length > MAX_SIGNATURES) return { ok: false, why: 'the note has too many signatures' };
  let good = false;
  for (const line of lines) {
    const match = /^\u2014 ([^\s+]+) (\S+)$/u.exec(line);
    const signature = strictBase64(match?.[2] ?? '');
    if (!match || !signature || signature.length < 5) {
      return { ok: false, why: 'a signature line is malformed' };
    }
    if (match[1] !== verifier.name || !signature.subarray(0, 4).equals(verifier.id)) continue;
    if (!verifyEd25519(Buffer.from(text), signature.subarray(4), verifier.publicKey)) {
      return { ok: false, why: 'the signature does not match the text' };
    }
    good = true;
  }
  return good ? { ok: true, text } : { ok: false, why: 'it is not signed by this key' };
};
