import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { pipeline } from 'node:stream/promises';
import type { EvaluationEvent, RegisterEvent } from '@unhindered/shared-types';
import type { Store } from '../ports/store.ts';

/** A photo or clip as the record names it: the log whose directory it lies in, and its SHA-256. */
export interface RecordedFile {
  log: string;
  sha256: string;
}

/** Files that events say stand: photos and clips of an evaluation, and photos of specimens. */
export const standingFiles = (events: readonly string[]): { media: string[]; photos: string[] } => {
  const media = new Map<string, string>();
  const photos = new Map<string, string>();
  for (const text of events) {
    const { type, data } = JSON.parse(text) as EvaluationEvent | RegisterEvent;
    if (type === 'media-attached') media.set(data.media, data.sha256);
    if (type === 'media-removed') media.delete(data.media);
    if (type === 'specimen-photo-added') photos.set(data.photo, data.sha256);
    if (type === 'specimen-photo-removed') photos.delete(data.photo);
  }
  return { media: [...media.values()], photos: [...new Set(photos.values())] };
};

/** Every file that a store says stands, each once. */
export const filesOnRecord = async (store: Store): Promise<RecordedFile[]> => {
  const found: RecordedFile[] = [];
  for (const { log } of await store.logs()) {
    const register = log.startsWith('rg_');
    if (!register && !log.startsWith('ev_')) continue;
    const texts = (await store.rows(log)).map((r) => r.text);
    const { media, photos } = standingFiles(texts);
    // An evaluation names the photos of its specimen too; their files lie with the register.
    found.push(...(register ? photos : media).map((sha256) => ({ log, sha256 })));
  }
  return found;
};

/** The SHA-256 of a file; undefined when it is not there. Rejects when it cannot be read. */
const fileHash = async (file: string): Promise<string | undefined> => {
  const hash = createHash('sha256');
  try {
    await pipeline(createReadStream(file), hash);
    return hash.digest('hex');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
};

/** What is wrong with a file of the record. */
export type FileFault = 'is missing' | 'is not the file of the record';

/** What is wrong with a file that is to have this SHA-256; undefined when it lies there whole. Rejects when it cannot be read. */
export const fileFault = async (file: string, sha256: string): Promise<FileFault | undefined> => {
  const hash = await fileHash(file);
  if (hash === sha256) return undefined;
  return hash === undefined ? 'is missing' : 'is not the file of the record';
};
