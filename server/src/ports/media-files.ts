import type { Readable } from 'node:stream';

/** Most bytes of one photo and of one clip. */
export interface MediaLimits {
  photo: number;
  clip: number;
}

/** What is known of a file on its way up. */
export interface Upload {
  media: string;
  /** Whose it is to be: the log of an evaluation, or the panel from which a specimen is shown. */
  log: string;
  /** Who sends it; nobody else goes on with it. */
  seat: string;
  /** Bytes it will have. */
  length: number;
  /** Bytes that are on the disk. */
  offset: number;
}

/** What became of a piece of an upload. */
export type Appended =
  { ok: true; offset: number } | { ok: false; why: 'busy' | 'offset' | 'long' };

/** Whether photos or clips lie with a log: it is that of an evaluation or of a register. */
export const holdsFiles = (log: string): boolean => /^(?:ev|rg)_/u.test(log);

/** Photos and clips as files, each with the log that names it. Whatever resolves is on the disk. Ids and hashes are checked by the caller. */
export interface MediaFiles {
  readonly limits: MediaLimits;
  begin: (upload: Omit<Upload, 'offset'>) => Promise<void>;
  /** Unfinished uploads of a seat. */
  unfinished: (seat: string) => Promise<number>;
  find: (media: string) => Promise<Upload | undefined>;
  /** Adds bytes at `offset`. What came before a cut stays; the promise then rejects. */
  append: (media: string, offset: number, bytes: AsyncIterable<Uint8Array>) => Promise<Appended>;
  /** The bytes that came so far. */
  read: (media: string) => Promise<Buffer>;
  /** Forgets an upload. */
  drop: (media: string) => Promise<void>;
  /** Keeps a finished file by its hash, which it returns. */
  keep: (log: string, bytes: Uint8Array) => Promise<string>;
  /** A kept file, or undefined when it is not there. `stream` takes its first and last byte. */
  open: (
    log: string,
    sha256: string,
  ) => Promise<{ size: number; stream: (from: number, to: number) => Readable } | undefined>;
  erase: (log: string, sha256: string) => Promise<void>;
  /** Everything that is kept, of every evaluation and register. */
  kept: () => Promise<{ log: string; sha256: string }[]>;
  /** Runs work on the files of one log after the work before it. */
  inTurn: <T>(log: string, work: () => Promise<T>) => Promise<T>;
}
