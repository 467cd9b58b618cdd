import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { rotateSigningKey } from '../adapters/key-files.ts';
import { StoreUnavailable } from '../adapters/store-unavailable.ts';
import { askControl, controlPath } from './control.ts';
import { openFile, storeFile } from './open-store.ts';
import { dataDirectory, readFlags } from './read-flags.ts';

const told = ({ before, now }: ReturnType<typeof rotateSigningKey>, directory: string): string =>
  [
    'The signing key is a new one; the old one has vouched for it and is kept nowhere.',
    `Old: ${before}`,
    `New: ${now}`,
    'Bundles go on being checked with either: the old key leads to the new one.',
    `Keep a copy of ${directory}/keys somewhere else, and delete the copies of before.`,
    'Several servers on one database: copy that folder to each of them before it is started, and start this one first.',
  ].join('\n');

/** Whether a server answers that works in the directory. */
const atWork = async (directory: string): Promise<boolean> => {
  const path = controlPath(directory);
  return path !== undefined && (await askControl(path, { do: 'workspaces' })) !== undefined;
};

/**
 * `rotate-key`: gives a data directory whose server is stopped a new signing key. 0 done, 1 not possible now, 2 there is
 * none to take over from.
 */
export const rotateKey = async (argv: readonly string[]): Promise<number> => {
  const { values } = readFlags(argv, { options: { 'data-dir': { type: 'string' } } });
  const directory = resolve(dataDirectory(values['data-dir']));
  if (!existsSync(join(directory, 'keys', 'signing.key'))) {
    process.stderr.write(`${directory} has no signing key yet. A server makes one at its start.\n`);
    return 2;
  }
  if (await atWork(directory)) {
    process.stderr.write(`A server works with the keys in ${directory}. Stop it first.\n`);
    return 1;
  }
  try {
    // Held open, so that no server starts meanwhile.
    const file = existsSync(storeFile(directory)) ? openFile(directory) : undefined;
    try {
      process.stdout.write(`${told(rotateSigningKey(directory), directory)}\n`);
    } finally {
      file?.close();
    }
    return 0;
  } catch (error) {
    if (!(error instanceof StoreUnavailable)) throw error;
    process.stderr.write(`${error.message} The key is the one it was.\n`);
    return 1;
  }
};
