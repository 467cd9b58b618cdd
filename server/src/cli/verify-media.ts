import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { Bundle, EvaluationEvent } from '@unhindered/shared-types';

/** A photo or clip whose file is missing or is not what the record says. */
export interface MediaFault {
  file: string;
  what: 'is missing' | 'is not the file of the record';
}

const hashOf = async (file: string): Promise<string | undefined> => {
  const hash = createHash('sha256');
  try {
    await pipeline(createReadStream(file), hash);
    return hash.digest('hex');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
};

/**
 * ME-21: holds the kept files against a bundle that was verified: each photo and clip that was not removed lies in
 * `directory/<evaluation>/<SHA-256>` and has that hash. Rejects when a file is there and cannot be read.
 */
export const checkMedia = async (
  { log, events }: Pick<Bundle, 'log' | 'events'>,
  directory: string,
): Promise<{ files: number; faults: MediaFault[] }> => {
  const standing = new Map<string, string>();
  for (const text of events) {
    const event = JSON.parse(text) as EvaluationEvent;
    if (event.type === 'media-attached') standing.set(event.data.media, event.data.sha256);
    if (event.type === 'media-removed') standing.delete(event.data.media);
  }
  const faults: MediaFault[] = [];
  for (const sha256 of standing.values()) {
    const file = join(directory, log, sha256);
    const hash = await hashOf(file);
    if (hash === undefined) faults.push({ file, what: 'is missing' });
    else if (hash !== sha256) faults.push({ file, what: 'is not the file of the record' });
  }
  return { files: standing.size, faults };
};
