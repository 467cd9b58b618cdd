import { existsSync, renameSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { agreeOnKeys, keysAreKnown } from '../adapters/postgres-keys.ts';
import { openPostgres } from '../adapters/postgres-open.ts';
import { PostgresStore } from '../adapters/postgres-store.ts';
import { sheetBox } from '../adapters/sheet-box.ts';
import { StoreUnavailable } from '../adapters/store-unavailable.ts';
import { keysOf } from '../audit/key-chain.ts';
import { checkStore } from '../flows/check-store.ts';
import type { Store } from '../ports/store.ts';
import { recordedIn } from './backup.ts';
import { storeAddress } from './config.ts';
import { lostLines, lostOf } from './media-copies.ts';
import {
  FIRST_WORKSPACE,
  openFile,
  refuseOtherSheetsKey,
  storeFile,
  type OpenFile,
} from './open-store.ts';
import { dataDirectory, readFlags, UsageError } from './read-flags.ts';

type Pool = Awaited<ReturnType<typeof openPostgres>>;

const asked = (argv: readonly string[]): { directory: string; address: string } => {
  const { values } = readFlags(argv, {
    options: { 'data-dir': { type: 'string' }, store: { type: 'string' } },
  });
  const address = storeAddress(values.store ?? process.env['STORE']);
  if (address === null) throw new UsageError('move takes --store postgres://host/database.');
  return { directory: resolve(dataDirectory(values['data-dir'])), address };
};

/** Checks every log of every workspace against its signatures. Throws with the first that does not hold. */
const check = async (file: OpenFile, storeOf: (workspace: string) => Store, where: string) => {
  for (const { id } of await file.workspaces.all()) {
    const [fault] = await checkStore(storeOf(id), keysOf(file.signer));
    if (!fault) continue;
    const { log, seq, what } = fault;
    throw new StoreUnavailable(`${where}: log ${log}, event ${String(seq)}: ${what}.`);
  }
};

const moveAll = async (file: OpenFile, pool: Pool, directory: string): Promise<string> => {
  if (await keysAreKnown(pool, FIRST_WORKSPACE)) {
    throw new StoreUnavailable('A server has worked on that database before. Give an empty one.');
  }
  await check(file, file.store, 'The file does not hold');
  const client = await pool.connect();
  try {
    const moved = await file.moveTo(client);
    await agreeOnKeys(pool, FIRST_WORKSPACE, file.keys, directory);
    const box = sheetBox(file.keys.sheets);
    await check(file, (id) => new PostgresStore(pool, id, box), 'The database does not hold');
    const count = (table: string): string => String(moved.get(table) ?? 0);
    return `${count('event')} events, ${count('document_update')} edits and ${count('person')} names`;
  } finally {
    client.release();
  }
};

/**
 * ME-22: photos and clips are not moved: they stay files. Says where, and names each that the record has and the folder
 * has not: now is the time to look for it.
 */
const mediaWords = async (directory: string, place: string): Promise<string> => {
  const media = join(directory, 'media');
  const files = await recordedIn(directory, place);
  if (files.length === 0) {
    return `Photos and clips will stay files in ${media}: every server needs that same folder.\n`;
  }
  const lost = await lostOf(files, [media]);
  const whole = String(files.length - lost.length);
  return (
    `Photos and clips stay files in ${media}: ${whole} of ${String(files.length)} on record are there and whole. ` +
    `Every server needs that same folder, and your backup too.\n${lostLines(media, lost)}`
  );
};

/**
 * `move --store postgres://…`: copies the store's file, while no server runs on it, into an empty database, and checks
 * there what a start checks. OP-3: then the file is put aside under another name, so that no server goes on from it and
 * the record cannot fork.
 */
export const move = async (argv: readonly string[]): Promise<number> => {
  const { directory, address } = asked(argv);
  const place = storeFile(directory);
  if (!existsSync(place)) {
    process.stderr.write(`There is no store in ${directory}. Nothing was moved.\n`);
    return 2;
  }
  let file: OpenFile | undefined;
  let pool: Pool | undefined;
  try {
    file = openFile(directory);
    await refuseOtherSheetsKey(file);
    pool = await openPostgres(address, () => undefined);
    const what = await moveAll(file, pool, directory);
    file.close();
    file = undefined;
    const media = await mediaWords(directory, place);
    const aside = `${place}.moved-${new Date().toISOString().replaceAll(/[:.]/gu, '-')}`;
    renameSync(place, aside);
    process.stdout.write(
      `Moved ${what}; every log holds. The file is kept as ${aside}.\n` +
        `From now on start with STORE, and keep ${directory}/keys: every further server needs a copy of it.\n${media}`,
    );
    return 0;
  } catch (error) {
    if (error instanceof UsageError) throw error;
    const why = error instanceof Error ? error.message : String(error);
    process.stderr.write(`Not moved: ${why}\nThe file is as it was.\n`);
    return 1;
  } finally {
    file?.close();
    await pool?.end();
  }
};
