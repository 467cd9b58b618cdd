import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import {
  mkdir,
  open,
  readdir,
  readFile,
  rename,
  rm,
  stat,
  type FileHandle,
} from 'node:fs/promises';
import { join } from 'node:path';
import {
  holdsFiles,
  type Appended,
  type MediaFiles,
  type MediaLimits,
  type Upload,
} from '../ports/media-files.ts';

/** An upload that nobody went on with for that long is given up. */
const PATIENCE_MS = 3 * 24 * 3_600_000;
/** No backup takes that long. */
const HELD_MS = 24 * 3_600_000;
/** Written and hashed at a time, so that others get their turn. */
const PIECE = 1 << 20;

/** Makes the entries of a directory durable. */
const syncDirectory = async (directory: string): Promise<void> => {
  const handle = await open(directory, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
};

const isMissing = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && error.code === 'ENOENT';

/** The value, or undefined where the file is not there. */
const orMissing = async <T>(reading: Promise<T>): Promise<T | undefined> => {
  try {
    return await reading;
  } catch (error) {
    if (isMissing(error)) return undefined;
    throw error;
  }
};

/** Writes a file whole under another name and moves it into place, synced. */
const writeWhole = async (directory: string, name: string, bytes: Uint8Array): Promise<void> => {
  const handle = await open(join(directory, `${name}.new`), 'w', 0o600);
  try {
    for (let at = 0; at < bytes.length; at += PIECE) {
      await handle.writeFile(bytes.subarray(at, at + PIECE));
    }
    await handle.sync();
  } finally {
    await handle.close();
  }
  await rename(join(directory, `${name}.new`), join(directory, name));
  await syncDirectory(directory);
};

const hashOf = async (bytes: Uint8Array): Promise<string> => {
  const hash = createHash('sha256');
  for (let at = 0; at < bytes.length; at += PIECE) {
    hash.update(bytes.subarray(at, at + PIECE));
    await new Promise(setImmediate);
  }
  return hash.digest('hex');
};

/** Writes all of a piece: a disk that is nearly full may take a part at a time, and no hole may be called written. */
export const writeAll = async (
  handle: Pick<FileHandle, 'write'>,
  piece: Uint8Array,
  at: number,
): Promise<void> => {
  for (let done = 0; done < piece.length;) {
    const { bytesWritten } = await handle.write(piece, done, piece.length - done, at + done);
    done += bytesWritten;
  }
};

/** Writes pieces as they come, up to `most` bytes; whether more came. What was written is synced in any case. */
const pour = async (
  file: string,
  from: number,
  most: number,
  bytes: AsyncIterable<Uint8Array>,
): Promise<{ at: number; long: boolean }> => {
  const handle = await open(file, 'r+');
  let at = from;
  try {
    for await (const piece of bytes) {
      if (at + piece.length > most) return { at, long: true };
      await writeAll(handle, piece, at);
      at += piece.length;
    }
    return { at, long: false };
  } finally {
    await handle.sync();
    await handle.close();
  }
};

/** Files of `directory`: `incoming/` for what is on its way up, a directory an evaluation or register for what is kept. */
class DiskMedia implements MediaFiles {
  readonly #directory: string;
  readonly #incoming: string;
  readonly #busy = new Set<string>();
  readonly #turns = new Map<string, Promise<unknown>>();
  readonly limits: MediaLimits;

  constructor(directory: string, limits: MediaLimits) {
    this.limits = limits;
    this.#directory = directory;
    this.#incoming = join(directory, 'incoming');
  }

  async begin(upload: Omit<Upload, 'offset'>): Promise<void> {
    await mkdir(this.#incoming, { recursive: true, mode: 0o700 });
    await writeWhole(this.#incoming, `${upload.media}.part`, new Uint8Array());
    const text = Buffer.from(JSON.stringify(upload));
    await writeWhole(this.#incoming, `${upload.media}.json`, text);
  }

  async unfinished(seat: string): Promise<number> {
    const names = (await orMissing(readdir(this.#incoming))) ?? [];
    const of = names.filter((n) => n.endsWith('.json')).map((n) => this.find(n.slice(0, -5)));
    return (await Promise.all(of)).filter((u) => u?.seat === seat).length;
  }

  async find(media: string): Promise<Upload | undefined> {
    const text = await orMissing(readFile(join(this.#incoming, `${media}.json`), 'utf8'));
    const part = await orMissing(stat(this.#part(media)));
    if (text === undefined || part === undefined) return undefined;
    return { ...(JSON.parse(text) as Omit<Upload, 'offset'>), offset: part.size };
  }

  async append(media: string, offset: number, bytes: AsyncIterable<Uint8Array>): Promise<Appended> {
    if (this.#busy.has(media)) return { ok: false, why: 'busy' };
    this.#busy.add(media);
    try {
      const upload = await this.find(media);
      if (upload?.offset !== offset) return { ok: false, why: 'offset' };
      const { at, long } = await pour(this.#part(media), offset, upload.length, bytes);
      return long ? { ok: false, why: 'long' } : { ok: true, offset: at };
    } finally {
      this.#busy.delete(media);
    }
  }

  read(media: string): Promise<Buffer> {
    return readFile(this.#part(media));
  }

  async drop(media: string): Promise<void> {
    for (const end of ['.json', '.part']) {
      await rm(join(this.#incoming, `${media}${end}`), { force: true });
    }
  }

  async keep(log: string, bytes: Uint8Array): Promise<string> {
    const directory = join(this.#directory, log);
    await mkdir(directory, { recursive: true, mode: 0o700 });
    await syncDirectory(this.#directory);
    const sha256 = await hashOf(bytes);
    await writeWhole(directory, sha256, bytes);
    return sha256;
  }

  async open(log: string, sha256: string): ReturnType<MediaFiles['open']> {
    const file = join(this.#directory, log, sha256);
    const found = await orMissing(stat(file));
    if (!found) return undefined;
    return { size: found.size, stream: (start, end) => createReadStream(file, { start, end }) };
  }

  async erase(log: string, sha256: string): Promise<void> {
    const directory = join(this.#directory, log);
    await rm(join(directory, sha256), { force: true });
    await orMissing(syncDirectory(directory));
  }

  async kept(): Promise<{ log: string; sha256: string }[]> {
    const all: { log: string; sha256: string }[] = [];
    for (const log of (await orMissing(readdir(this.#directory))) ?? []) {
      if (!holdsFiles(log)) continue;
      const names = await readdir(join(this.#directory, log));
      all.push(...names.map((sha256) => ({ log, sha256 })));
    }
    return all;
  }

  async inTurn<T>(log: string, work: () => Promise<T>): Promise<T> {
    const before = this.#turns.get(log);
    const run = (before ?? Promise.resolve()).then(work, work);
    this.#turns.set(log, run);
    try {
      return await run;
    } finally {
      if (this.#turns.get(log) === run) this.#turns.delete(log);
    }
  }

  /** Gives up uploads that nobody went on with, and what a killed backup still held. `now` in milliseconds. */
  async tidy(now: number): Promise<void> {
    for (const name of (await orMissing(readdir(this.#directory))) ?? []) {
      const held = name.startsWith('held-') && (await orMissing(stat(join(this.#directory, name))));
      if (held && now - held.mtimeMs > HELD_MS) {
        await rm(join(this.#directory, name), { recursive: true, force: true });
      }
    }
    for (const name of (await orMissing(readdir(this.#incoming))) ?? []) {
      const file = join(this.#incoming, name);
      const found = await orMissing(stat(file));
      if (found && now - found.mtimeMs > PATIENCE_MS) await rm(file, { force: true });
    }
  }

  #part(media: string): string {
    return join(this.#incoming, `${media}.part`);
  }
}

/** ME-18: photos and clips beside the store, as files by their hash, synced with their directory before anybody is told. */
export const diskMedia = (directory: string, limits: MediaLimits): DiskMedia =>
  new DiskMedia(directory, limits);
