import { createHash, createPublicKey, verify, type KeyObject } from 'node:crypto';

/** The verifier's own hashing and signature checks: it shares none with the program that writes bundles. */
export const hash = (...parts: (Buffer | string)[]): Buffer => {
  const h = createHash('sha256');
  for (const part of parts) h.update(part);
  return h.digest();
};

/** Root of an RFC 6962 tree over event texts, iteratively by levels. */
export const treeRoot = (texts: readonly string[]): Buffer => {
  if (texts.length === 0) return hash('');
  let level = texts.map((text) => hash(Buffer.of(0), text));
  while (level.length > 1) {
    const next: Buffer[] = [];
    for (let i = 0; i < level.length; i += 2) {
      const [left, right] = [level[i], level[i + 1]];
      if (left) next.push(right ? hash(Buffer.of(1), left, right) : left);
    }
    level = next;
  }
  return level[0] ?? hash('');
};

const fromBase64 = (text: string): Buffer | undefined => {
  const bytes = Buffer.from(text, 'base64');
  return bytes.toString('base64') === text ? bytes : undefined;
};

export interface Note {
  origin: string;
  size: number;
  root: Buffer;
}

/** Why a note is passed on to the next key of a chain. */
const BY_ANOTHER = 'it is signed by another key';
const MALFORMED = 'the verifier key is malformed';
/** Most signature lines of a note. */
const MAX_SIGNATURES = 100;

/**
 * VF-1: the one signature by the key asked for among the lines of a note. Lines of keys nobody asked about, such as a
 * witness's, are passed over as the format says (C2SP signed-note); a string says what is wrong.
 */
const ownSignature = (lines: string, name: string, id: string): Buffer | string => {
  const signatures = lines.slice(0, -1).split('\n');
  if (signatures.length > MAX_SIGNATURES) return 'it has too many signatures';
  const own: Buffer[] = [];
  for (const line of signatures) {
    const [, signer, text = ''] = line.split(' ');
    const bytes = fromBase64(text);
    if (!bytes || bytes.length < 5) return 'a signature line is malformed';
    if (signer === name && bytes.subarray(0, 4).toString('hex') === id) own.push(bytes.subarray(4));
  }
  const [first, second] = own;
  if (!first) return BY_ANOTHER;
  if (second) return 'it is signed twice by one key';
  return first.length === 64 ? first : 'it is not a checkpoint';
};

interface Verifier {
  name: string;
  id: string;
  publicKey: KeyObject;
}

const verifierOf = (vkey: string): Verifier | undefined => {
  const [name = '', id = '', ...rest] = vkey.split('+');
  // Base64 has plus signs of its own.
  const encoded = rest.join('+');
  const key = fromBase64(encoded);
  if (key?.length !== 33 || key[0] !== 1 || /\s/u.test(name)) return undefined;
  const expectedId = hash(name, '\n', key).subarray(0, 4).toString('hex');
  if (expectedId !== id || vkey !== `${name}+${id}+${encoded}`) return undefined;
  const spki = Buffer.concat([Buffer.from('302a300506032b6570032100', 'hex'), key.subarray(1)]);
  return { name, id, publicKey: createPublicKey({ key: spki, format: 'der', type: 'spki' }) };
};

/**
 * KR-1: the key that `vkey` vouches for in a succession, signed by it and of its name; an object says what is wrong.
 */
export const readSuccession = (note: string, vkey: string): string | { fault: string } => {
  const verifier = verifierOf(vkey);
  if (!verifier) return { fault: MALFORMED };
  const parts =
    /^unhindered key succession\n([^\n]+)\n([^\n]+)\n\n((?:\u2014 [^ \n]+ [^ \n]+\n)+)$/u.exec(
      note,
    );
  const [, before, next = '', lines = ''] = parts ?? [];
  if (before !== vkey) return { fault: 'it is not the word of the key before it' };
  if (verifierOf(next)?.name !== verifier.name || next === vkey) return { fault: MALFORMED };
  const own = ownSignature(lines, verifier.name, verifier.id);
  if (typeof own === 'string') return { fault: own };
  const signed = Buffer.from(`unhindered key succession\n${before}\n${next}\n`);
  return verify(null, signed, verifier.publicKey, own)
    ? next
    : { fault: 'its signature does not hold' };
};

/** Checks a signed note against a verifier key and reads the checkpoint in it; a string says what is wrong. */
export const readNote = (note: string, vkey: string): Note | string => {
  const verifier = verifierOf(vkey);
  if (!verifier) return MALFORMED;
  const parts = /^([^\n]+)\n(0|[1-9]\d*)\n([^\n]+)\n\n((?:\u2014 [^ \n]+ [^ \n]+\n)+)$/u.exec(note);
  if (!parts) return 'it is not a signed checkpoint';
  const [, origin = '', digits = '', rootText = '', lines = ''] = parts;
  const root = fromBase64(rootText);
  if (root?.length !== 32) return 'it is not a checkpoint';
  const own = ownSignature(lines, verifier.name, verifier.id);
  if (typeof own === 'string') return own;
  const signed = Buffer.from(`${origin}\n${digits}\n${rootText}\n`);
  if (!verify(null, signed, verifier.publicKey, own)) return 'its signature does not hold';
  return { origin, size: Number(digits), root };
};

/** A note by one of the keys of a chain, from the `from`th on, and which that is: an earlier one signs no later note. */
export const readNoteBy = (
  note: string,
  keys: readonly string[],
  from = 0,
): { note: Note; by: number } | string => {
  let why = BY_ANOTHER;
  for (let by = from; by < keys.length && why === BY_ANOTHER; by++) {
    const read = readNote(note, keys[by] ?? '');
    if (typeof read !== 'string') return { note: read, by };
    why = read;
  }
  return why;
};
