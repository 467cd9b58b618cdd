import { cpSync, existsSync, mkdirSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { preload } from './preload.ts';
import { temporaryDirectory } from './temporary-directory.ts';

/** Builds the shim; returns the environment in which a process keeps in `to` only what it synced below `from`. */
export const powerCut = (): ((from: string, to: string) => NodeJS.ProcessEnv) => {
  const library = preload('power-cut');
  return (from, to) => ({ LD_PRELOAD: library, CUT_FROM: from, CUT_TO: to });
};

/** A place for synced files that holds what a directory has on the disk before anything happens. */
export const alreadySynced = (directory: string): string => {
  const synced = temporaryDirectory();
  for (const name of readdirSync(directory)) {
    if (name.startsWith('unhindered.sqlite')) cpSync(join(directory, name), join(synced, name));
  }
  return synced;
};

/** What would be found after the cut: the synced files, in a data directory of their own, and the keys. */
export const afterCut = (directory: string, synced: string): string => {
  const found = alreadySynced(synced);
  mkdirSync(join(found, 'keys'));
  const keys = join(directory, 'keys');
  if (existsSync(keys)) cpSync(keys, join(found, 'keys'), { recursive: true });
  return found;
};
