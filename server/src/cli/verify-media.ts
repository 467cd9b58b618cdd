import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Bundle } from '@unhindered/shared-types';
import { fileFault, standingFiles, type FileFault } from './media-on-record.ts';

/** A photo or clip whose file is missing or is not what the record says. */
export interface MediaFault {
  file: string;
  what: FileFault;
}

/** Directories of registers among the kept files: a bundle does not name the one of its specimen. */
const registersIn = async (directory: string): Promise<string[]> => {
  const names = await readdir(directory).catch(() => []);
  return names.filter((name) => name.startsWith('rg_')).toSorted();
};

/** Why a file does not hold; undefined when it does. */
const faultOf = async (file: string, sha256: string): Promise<MediaFault | undefined> => {
  const what = await fileFault(file, sha256);
  return what && { file, what };
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
  const { media: own, photos: register } = standingFiles(events);
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
