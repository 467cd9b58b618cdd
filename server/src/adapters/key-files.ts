import { createHash, randomBytes } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readFileSync,
  renameSync,
  writeSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import * as v from 'valibot';
import { keysOf, openSuccession, signSuccession, type Signer } from '../audit/key-chain.ts';
import { verifierKey, type VerifierKey } from '../audit/signed-note.ts';
import { StoreUnavailable } from './store-unavailable.ts';

/** The server's secrets: the seed that signs checkpoints, and the key of sealed sheets. */
export interface Keys {
  signing: Uint8Array;
  sheets: Uint8Array;
  /** The signing keys before this one, oldest first. */
  before?: readonly Predecessor[];
}

const predecessor = v.strictObject({
  /** Its signed word for the key that came after it. */
  note: v.string(),
  /** What a shared store knew its keys by. */
  mark: v.string(),
});
export type Predecessor = v.InferOutput<typeof predecessor>;

const SIGNER = 'unhindered.local';

/** Says which keys are meant without saying anything of them. */
export const markOf = ({ signing, sheets }: Keys): string =>
  createHash('sha256').update('unhindered keys').update(signing).update(sheets).digest('hex');

/** What signs with these keys, as its notes name it. */
export const signerOf = ({ signing, before = [] }: Keys): Signer => ({
  name: SIGNER,
  seed: signing,
  ...(before.length > 0 ? { successions: before.map(({ note }) => note) } : {}),
});

const NAMES = { signing: 'signing.key', sheets: 'sheets.key' } as const;
/** Stands beside the key of sealed sheets until every sheet is sealed with it. */
const NEXT_SHEETS = 'sheets.key.next';

const keyIn = (text: string, file: string): Uint8Array => {
  const bytes = Buffer.from(text.trim(), 'hex');
  if (bytes.length !== 32) {
    throw new StoreUnavailable(`${file} is not a key of 32 bytes. Put the backed-up file back.`);
  }
  return new Uint8Array(bytes);
};

/** The seed in the first line, and in each further one what stood before it. */
const readSigning = (file: string): Pick<Keys, 'signing'> & { before: Predecessor[] } => {
  const [first = '', ...lines] = readFileSync(file, 'utf8').trim().split('\n');
  const signing = keyIn(first, file);
  try {
    const before = lines.map((line) => v.parse(predecessor, JSON.parse(line)));
    keysOf(signerOf({ signing, sheets: signing, before }));
    return { signing, before };
  } catch (error) {
    throw new StoreUnavailable(
      `${file} does not say how its key took over from the one before. Put the backed-up file back.`,
      { cause: error },
    );
  }
};

const write = (file: string, text: string, flag: 'w' | 'wx'): void => {
  const handle = openSync(file, flag, 0o600);
  writeSync(handle, text);
  fsyncSync(handle);
  closeSync(handle);
};

const make = (file: string): void => {
  const key = randomBytes(32);
  write(file, `${key.toString('hex')}\n`, 'wx');
  syncDirectory(dirname(file));
};

/** A file is only there after a power cut when its directory was synced too. Windows has no such thing. */
const syncDirectory = (directory: string): void => {
  if (process.platform === 'win32') return;
  const handle = openSync(directory, 'r');
  fsyncSync(handle);
  closeSync(handle);
};

/**
 * ST-5: reads the keys of a data directory, or makes them when the store is new. With a store but without its keys it
 * throws: a new key in silence would make old records look forged and sealed sheets unreadable.
 */
export const openKeys = (directory: string, storeExists: boolean): Keys => {
  if (sheetsKeyIsPending(directory)) {
    throw new StoreUnavailable(
      `A change of the key of sealed sheets was begun in ${directory} and not ended. Nothing is lost: run "unhindered rotate-key --sheets" again, with the same settings.`,
    );
  }
  return readKeys(directory, storeExists);
};

/** The keys in place, whether or not a change of the key of sealed sheets is under way. */
export const readKeys = (directory: string, storeExists: boolean): Keys => {
  const folder = join(directory, 'keys');
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  syncDirectory(directory);
  const ready = (name: string): string => {
    const file = join(folder, name);
    if (existsSync(file)) return file;
    if (storeExists) {
      throw new StoreUnavailable(
        `${file} is missing. Put the backed-up file back; no new key is made.`,
      );
    }
    make(file);
    return file;
  };
  const signing = readSigning(ready(NAMES.signing));
  const sheets = ready(NAMES.sheets);
  return { ...signing, sheets: keyIn(readFileSync(sheets, 'utf8'), sheets) };
};

/**
 * KR-2: gives a data directory a new signing key, for which the old one vouches. One file takes the place of another: after
 * a power cut there is the old key or the new one with its note, and the old one is kept nowhere. Nobody may be at work
 * with the keys meanwhile. Returns both verifier keys.
 */
export const rotateSigningKey = (directory: string): { before: VerifierKey; now: VerifierKey } => {
  const keys = openKeys(directory, true);
  const seed = new Uint8Array(randomBytes(32));
  const old = signerOf(keys);
  const now = verifierKey({ name: SIGNER, seed });
  const note = signSuccession(old, now);
  if (!openSuccession(note)) throw new Error('the new key is not vouched for');
  const before = [...(keys.before ?? []), { note, mark: markOf(keys) }];
  const lines = [Buffer.from(seed).toString('hex'), ...before.map((b) => JSON.stringify(b))];
  const file = join(directory, 'keys', NAMES.signing);
  write(`${file}.next`, `${lines.join('\n')}\n`, 'w');
  replaceFile(`${file}.next`, file);
  return { before: verifierKey(old), now };
};

const nextSheets = (directory: string): string => join(directory, 'keys', NEXT_SHEETS);

/** Whether a change of the key of sealed sheets was begun and not ended. */
export const sheetsKeyIsPending = (directory: string): boolean => existsSync(nextSheets(directory));

/** The key in a file that the operator kept. Throws a StoreUnavailable. */
export const readKey = (file: string): Uint8Array => {
  if (!existsSync(file)) throw new StoreUnavailable(`${file} cannot be read.`);
  return keyIn(readFileSync(file, 'utf8'), file);
};

/** The key that sheets are being sealed with anew; undefined when no change is under way. Throws a StoreUnavailable. */
export const pendingSheetsKey = (directory: string): Uint8Array | undefined =>
  sheetsKeyIsPending(directory) ? readKey(nextSheets(directory)) : undefined;

const replaceFile = (from: string, to: string): void => {
  renameSync(from, to);
  syncDirectory(dirname(to));
};

/** Makes that key, whole on disk before it is used. */
export const makePendingSheetsKey = (directory: string): Uint8Array => {
  const file = nextSheets(directory);
  const key = new Uint8Array(randomBytes(32));
  write(`${file}.part`, `${Buffer.from(key).toString('hex')}\n`, 'w');
  replaceFile(`${file}.part`, file);
  return key;
};

/** Puts it in the place of the old one, which is kept nowhere from then on. */
export const adoptSheetsKey = (directory: string): void =>
  replaceFile(nextSheets(directory), join(directory, 'keys', NAMES.sheets));
