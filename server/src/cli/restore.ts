import { copyFileSync, existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { StoreUnavailable } from '../adapters/store-unavailable.ts';
import { readKey } from '../adapters/key-files.ts';
import { randomIds } from '../adapters/random-ids.ts';
import { firstClosed, reseal } from '../adapters/reseal.ts';
import { sheetBox } from '../adapters/sheet-box.ts';
import { systemTimers } from '../adapters/system-timers.ts';
import { keysOf, type Signer } from '../audit/key-chain.ts';
import { checkStore } from '../flows/check-store.ts';
import { Catalogue } from '../flows/catalogue.ts';
import { Logs } from '../flows/logs.ts';
import { PublicLinks } from '../flows/public-links.ts';
import { record, systemLogOf } from '../flows/system-log.ts';
import type { Store } from '../ports/store.ts';
import { fileAndDirectory, recordedIn, type Asked } from './backup.ts';
import { copyRecorded, lostLines, lostOf, mediaBeside } from './media-copies.ts';
import type { RecordedFile } from './media-on-record.ts';
import { openFile, storeFile, type OpenFile } from './open-store.ts';

type Sizes = Map<string, number>;

/** Every log of every workspace with its size. */
const sizesOf = async (file: OpenFile): Promise<Sizes> => {
  const sizes: Sizes = new Map();
  for (const { id } of await file.workspaces.all()) {
    for (const { log, size } of await file.store(id).logs()) sizes.set(log, size);
  }
  return sizes;
};

/**
 * KR-6: a copy whose sheets were sealed with the key before this one takes the place of a store only when they can be
 * read: with that key, sealed with the present one then. Throws a StoreUnavailable.
 */
const takeSheets = async ({ sealed, keys }: OpenFile, of: string | undefined): Promise<void> => {
  const present = sheetBox(keys.sheets);
  if (!(await firstClosed(sealed, [present]))) return;
  const words =
    'The sealed sheets of the backup were sealed with another key than keys/sheets.key.';
  if (of === undefined) {
    throw new StoreUnavailable(`${words} Give your copy of that time: --sheets-key FILE.`);
  }
  const before = sheetBox(readKey(resolve(of)));
  if (await firstClosed(sealed, [present, before])) {
    throw new StoreUnavailable(`${words} ${of} does not open them all either.`);
  }
  await reseal(sealed, before, present);
};

/** Checks a copy with the keys of the directory; why it cannot be used, or how much is in it. */
const checked = async (
  directory: string,
  trial: string,
  sheetsKey: string | undefined,
): Promise<Sizes | string> => {
  const file = openFile(directory, trial);
  try {
    for (const { id } of await file.workspaces.all()) {
      const [fault] = await checkStore(file.store(id), keysOf(file.signer));
      if (fault) return `log ${fault.log}, event ${String(fault.seq)}: ${fault.what}`;
    }
    await takeSheets(file, sheetsKey);
    return await sizesOf(file);
  } finally {
    file.close();
  }
};

/** What the store in place has and the copy has not: that history ends with the restore. */
const sizesInPlace = async (directory: string, place: string): Promise<Sizes> => {
  if (!existsSync(place)) return new Map();
  const file = openFile(directory);
  const sizes = await sizesOf(file);
  file.close();
  return sizes;
};

const total = (sizes: Sizes): number => [...sizes.values()].reduce((sum, n) => sum + n, 0);

/** Writes into the copy that it takes the place of a store: every device will see where the record went back. */
const tellRestore = async (
  directory: string,
  trial: string,
  had: Sizes,
  has: Sizes,
): Promise<void> => {
  const file = openFile(directory, trial);
  try {
    const data = { had: had.size > 0 ? total(had) : null, has: total(has) };
    for (const { id } of await file.workspaces.all()) {
      const app = appOf(file.store(id), file.signer);
      const system = await systemLogOf(app, () => randomIds.id('sy'));
      await record(app, system, [{ type: 'store-restored', data }]);
    }
  } finally {
    file.close();
  }
};

/** As much of the application as writing one record takes. */
const appOf = (store: Store, signer: Signer): Parameters<typeof record>[0] => ({
  store,
  signer,
  logs: new Logs(store, keysOf(signer)),
  timers: systemTimers,
  catalogue: new Catalogue(),
  links: new PublicLinks(),
  readOnly: null,
  changed: () => undefined,
});

const remove = (file: string): void => {
  for (const suffix of ['', '-wal', '-shm', '.open']) rmSync(`${file}${suffix}`, { force: true });
};

const words = (error: unknown): string | undefined =>
  error instanceof StoreUnavailable ? error.message : undefined;

/** Goes on although photos or clips of the record are lost; their record stays. */
const WITHOUT = 'without-missing';

const mediaOf = (directory: string): string => join(directory, 'media');

/**
 * ME-22: the photos and clips that the backup names, each held against its hash: in the folder beside it, or whole in
 * place already. Undefined, after words, when some are lost and nobody said to go on without them.
 */
const filesToRestore = async (
  { file, directory, set }: Asked,
  trial: string,
): Promise<RecordedFile[] | undefined> => {
  const files = await recordedIn(directory, trial);
  const beside = mediaBeside(file);
  const lost = await lostOf(files, [beside, mediaOf(directory)]);
  if (lost.length === 0) return files;
  process.stderr.write(
    `Photos and clips of the record are not in the backup as they were:\n${lostLines(beside, lost)}`,
  );
  if (set.includes(WITHOUT)) {
    const gone = new Set(lost.map((l) => `${l.log}/${l.sha256}`));
    return files.filter((f) => !gone.has(`${f.log}/${f.sha256}`));
  }
  process.stderr.write(
    `Nothing was changed. Put them there, or restore the rest with --${WITHOUT}.\n`,
  );
  return undefined;
};

/** Puts the checked copy in the place of the store, and says what that changes. */
const replace = (place: string, trial: string, before: Sizes, found: Sizes): void => {
  const kept = `${place}.before-${new Date().toISOString().replaceAll(/[:.]/gu, '-')}`;
  if (existsSync(place)) renameSync(place, kept);
  renameSync(trial, place);
  process.stdout.write(
    `Restored ${String(found.size)} logs with ${String(total(found))} events.\n`,
  );
  const lost = [...before].filter(([log, size]) => size > (found.get(log) ?? 0));
  if (before.size > 0) process.stdout.write(`The store before it is kept as ${kept}.\n`);
  for (const [log, size] of lost) {
    const now = String(found.get(log) ?? 0);
    process.stdout.write(`Goes back: ${log} had ${String(size)} events and has ${now}.\n`);
  }
};

/**
 * `restore FILE`: puts a backup in the place of the store after it has been checked event by event against its
 * signatures, and its photos and clips against their hashes. The store it takes the place of is kept beside it.
 */
export const restore = async (argv: readonly string[]): Promise<number> => {
  const asked = fileAndDirectory('restore', argv, [WITHOUT]);
  const { file, directory } = asked;
  if (!existsSync(file)) {
    process.stderr.write(`${file} cannot be read.\n`);
    return 2;
  }
  mkdirSync(directory, { recursive: true, mode: 0o700 });
  const trial = join(directory, 'restoring.sqlite');
  const place = storeFile(directory);
  try {
    remove(trial);
    copyFileSync(file, trial);
    const found = await checked(directory, trial, asked.sheetsKey);
    if (typeof found === 'string') {
      process.stderr.write(`The backup does not hold (${found}). Nothing was changed.\n`);
      return 1;
    }
    const files = await filesToRestore(asked, trial);
    if (!files) return 1;
    const before = await sizesInPlace(directory, place);
    await copyRecorded(files, [mediaBeside(file)], mediaOf(directory));
    await tellRestore(directory, trial, before, found);
    replace(place, trial, before, found);
    if (files.length > 0) {
      process.stdout.write(
        `${String(files.length)} photos and clips are in place, each checked.\n`,
      );
    }
    return 0;
  } catch (error) {
    const why = words(error);
    if (why === undefined) throw error;
    process.stderr.write(`${why} Nothing was changed.\n`);
    return 1;
  } finally {
    remove(trial);
  }
};
