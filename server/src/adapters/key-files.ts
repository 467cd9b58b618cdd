import { randomBytes } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readFileSync,
  writeSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { StoreUnavailable } from './store-unavailable.ts';

/** The server's secrets: the seed that signs checkpoints, and the key of sealed sheets. */
export interface Keys {
  signing: Uint8Array;
  sheets: Uint8Array;
}

const NAMES = { signing: 'signing.key', sheets: 'sheets.key' } as const;

const read = (file: string): Uint8Array => {
  const bytes = Buffer.from(readFileSync(file, 'utf8').trim(), 'hex');
  if (bytes.length !== 32) {
    throw new StoreUnavailable(`${file} is not a key of 32 bytes. Put the backed-up file back.`);
  }
  return new Uint8Array(bytes);
};

const make = (file: string): Uint8Array => {
  const key = randomBytes(32);
  const handle = openSync(file, 'wx', 0o600);
  writeSync(handle, `${key.toString('hex')}\n`);
  fsyncSync(handle);
  closeSync(handle);
  syncDirectory(dirname(file));
  return new Uint8Array(key);
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
  const folder = join(directory, 'keys');
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  syncDirectory(directory);
  const key = (name: string): Uint8Array => {
    const file = join(folder, name);
    if (existsSync(file)) return read(file);
    if (storeExists) {
      throw new StoreUnavailable(
        `${file} is missing. Put the backed-up file back; no new key is made.`,
      );
    }
    return make(file);
  };
  return { signing: key(NAMES.signing), sheets: key(NAMES.sheets) };
};
