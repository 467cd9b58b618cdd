import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { rotateSigningKey, sheetsKeyIsPending } from '../adapters/key-files.ts';
import { StoreUnavailable } from '../adapters/store-unavailable.ts';
import { storeAddress } from './config.ts';
import { askControl, controlPath } from './control.ts';
import { openFile, storeFile } from './open-store.ts';
import { dataDirectory, readFlags, UsageError } from './read-flags.ts';
import { rotateSheetsKey } from './rotate-sheets-key.ts';

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

/** Gives the directory a new signing key; words for the operator. */
const rotateSigning = (directory: string): string => {
  // Held open, so that no server starts meanwhile.
  const file = existsSync(storeFile(directory)) ? openFile(directory) : undefined;
  try {
    return told(rotateSigningKey(directory), directory);
  } finally {
    file?.close();
  }
};

const whatNow = (directory: string): string =>
  sheetsKeyIsPending(directory)
    ? 'The change is not ended: run "rotate-key --sheets" again and it goes on from there. No server starts before that.'
    : 'Nothing was changed.';

/**
 * `rotate-key`: gives a data directory whose server is stopped a new signing key, or with `--sheets` its sealed sheets a
 * new key. 0 done, 1 not possible now, 2 there is none to take over from.
 */
export const rotateKey = async (argv: readonly string[]): Promise<number> => {
  const { values } = readFlags(argv, {
    options: {
      'data-dir': { type: 'string' },
      sheets: { type: 'boolean' },
      store: { type: 'string' },
    },
  });
  const directory = resolve(dataDirectory(values['data-dir']));
  const sheets = values.sheets === true;
  if (!existsSync(join(directory, 'keys', 'signing.key'))) {
    process.stderr.write(`${directory} has no signing key yet. A server makes one at its start.\n`);
    return 2;
  }
  if (await atWork(directory)) {
    process.stderr.write(`A server works with the keys in ${directory}. Stop it first.\n`);
    return 1;
  }
  try {
    const words = sheets
      ? await rotateSheetsKey(directory, storeAddress(values.store ?? process.env['STORE']))
      : rotateSigning(directory);
    process.stdout.write(`${words}\n`);
    return 0;
  } catch (error) {
    // A fault of disk or database may end a change of the sheets' key anywhere: what to do is the same.
    if (error instanceof UsageError || (!sheets && !(error instanceof StoreUnavailable)))
      throw error;
    const why = error instanceof Error ? error.message : String(error);
    process.stderr.write(`${why} ${whatNow(directory)}\n`);
    return 1;
  }
};
