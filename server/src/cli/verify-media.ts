import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { readdir } from 'node:fs/promises';
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

/** The files that should stand: those of the evaluation in its own directory, photos of its specimen in the register's. */
const standingFiles = (events: readonly string[]): { own: string[]; register: string[] } => {
  const own = new Map<string, string>();
  const register = new Map<string, string>();
  for (const text of events) {
    const { type, data } = JSON.parse(text) as EvaluationEvent;
    if (type === 'media-attached') own.set(data.media, data.sha256);
    if (type === 'media-removed') own.delete(data.media);
    if (type === 'specimen-photo-added') register.set(data.photo, data.sha256);
    if (type === 'specimen-photo-removed') register.delete(data.photo);
  }
  return { own: [...own.values()], register: [...register.values()] };
};

/** Directories of registers among the kept files: a bundle does not name the one of its specimen. */
const registersIn = async (directory: string): Promise<string[]> => {
  const names = await readdir(directory).catch(() => []);
  return names.filter((name) => name.startsWith('rg_')).toSorted();
};

/** Why a file does not hold; undefined when it does. */
const faultOf = async (file: string, sha256: string): Promise<MediaFault | undefined> => {
  const hash = await hashOf(file);
  if (hash === sha256) return undefined;
  return { file, what: hash === undefined ? 'is missing' : 'is not the file of the record' };
};

/** The fault of a photo of a specimen, which may lie with any register; undefined when it is whole in one. */
const faultInRegisters = async (
  directory: string,
  registers: readonly string[],
  sha256: string,
): Promise<MediaFault | undefined> => {
  let worst: MediaFault = {
    file: join(directory, registers[0] ?? 'rg_*', sha256),
    what: 'is missing',
  };
  for (const register of registers) {
    const fault = await faultOf(join(directory, register, sha256), sha256);
    if (!fault) return undefined;
    if (fault.what !== 'is missing') worst = fault;
  }
  return worst;
};

/**
 * ME-21: holds the kept files against a bundle that was verified: each photo and clip that was not removed lies in
 * `directory/<evaluation>/<SHA-256>`, each photo of its specimen in `directory/<register>/<SHA-256>`, and has that hash.
 * Rejects when a file is there and cannot be read.
 */
export const checkMedia = async (
  { log, events }: Pick<Bundle, 'log' | 'events'>,
  directory: string,
): Promise<{ files: number; faults: MediaFault[] }> => {
  const { own, register } = standingFiles(events);
  const registers = await registersIn(directory);
  const faults: MediaFault[] = [];
  for (const sha256 of own) {
    const fault = await faultOf(join(directory, log, sha256), sha256);
    if (fault) faults.push(fault);
  }
  for (const sha256 of register) {
    const fault = await faultInRegisters(directory, registers, sha256);
    if (fault) faults.push(fault);
  }
  return { files: own.length + register.length, faults };
};
