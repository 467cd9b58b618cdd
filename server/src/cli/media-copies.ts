import { constants, existsSync } from 'node:fs';
import { copyFile, link, mkdir, open, readdir, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { holdsFiles } from '../ports/media-files.ts';
import { fileFault, type FileFault, type RecordedFile } from './media-on-record.ts';

/** A photo or clip that is on record and cannot be given back. */
export interface LostFile extends RecordedFile {
  what: FileFault;
}

/** One line for each, for people. */
export const lostLines = (directory: string, lost: readonly LostFile[]): string =>
  lost.map(({ log, sha256, what }) => `${join(directory, log, sha256)} ${what}.\n`).join('');

/** The folder of photos and clips that stands beside a backup. */
export const mediaBeside = (backup: string): string => `${backup}.media`;

const sync = async (path: string): Promise<void> => {
  const handle = await open(path, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
};

const placeOf = (directory: string, { log, sha256 }: RecordedFile): string =>
  join(directory, log, sha256);

/** What is wrong with a file of the record in a directory; undefined when it lies there whole. */
const lostIn = (directory: string, file: RecordedFile): Promise<FileFault | undefined> =>
  fileFault(placeOf(directory, file), file.sha256);

/** Copies one file under its final name in one step, durable with its directory. */
const copyInto = async (from: string, to: string): Promise<void> => {
  await mkdir(dirname(to), { recursive: true, mode: 0o700 });
  await copyFile(from, `${to}.new`);
  await sync(`${to}.new`);
  await rename(`${to}.new`, to);
  await sync(dirname(to));
};

/** Copies one file from the first source that has it whole; why it could not, or undefined. */
const copyFrom = async (
  sources: readonly string[],
  file: RecordedFile,
  to: string,
): Promise<FileFault | undefined> => {
  let worst: FileFault = 'is missing';
  for (const source of sources) {
    const fault = await lostIn(source, file);
    if (fault === undefined) {
      await copyInto(placeOf(source, file), placeOf(to, file));
      return lostIn(to, file);
    }
    if (fault !== 'is missing') worst = fault;
  }
  return worst;
};

/**
 * Puts every file of the record into a directory, from the first of `sources` that has it whole; one that lies there whole
 * already is left. Returns what no source has whole.
 */
export const copyRecorded = async (
  files: readonly RecordedFile[],
  sources: readonly string[],
  to: string,
): Promise<LostFile[]> => {
  const lost: LostFile[] = [];
  for (const file of files) {
    if ((await lostIn(to, file)) === undefined) continue;
    const what = await copyFrom(sources, file, to);
    if (what !== undefined) lost.push({ ...file, what });
  }
  return lost;
};

/** Files of the record that lie whole in none of the directories; said of the first. */
export const lostOf = async (
  files: readonly RecordedFile[],
  directories: readonly string[],
): Promise<LostFile[]> => {
  const lost: LostFile[] = [];
  for (const file of files) {
    const faults: (FileFault | undefined)[] = [];
    for (const directory of directories) faults.push(await lostIn(directory, file));
    const [what] = faults;
    if (what !== undefined && !faults.includes(undefined)) lost.push({ ...file, what });
  }
  return lost;
};

const linkOrCopy = async (from: string, to: string): Promise<void> => {
  try {
    await link(from, to);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST' || code === 'ENOENT') return;
    // Some disks know no second name for a file.
    await copyFile(from, to, constants.COPYFILE_EXCL);
  }
};

/**
 * ME-22: gives every kept file a second name in `hold`, so that what is removed while a backup is made can still be
 * copied when the backup's record has it. To be called before and after the record is copied.
 */
export const holdKept = async (media: string, hold: string): Promise<void> => {
  if (!existsSync(media)) return;
  for (const log of await readdir(media)) {
    if (!holdsFiles(log)) continue;
    await mkdir(join(hold, log), { recursive: true, mode: 0o700 });
    for (const sha256 of await readdir(join(media, log))) {
      if (!/^[\da-f]{64}$/u.test(sha256)) continue;
      await linkOrCopy(join(media, log, sha256), join(hold, log, sha256));
    }
  }
};

/** Takes a held folder away. */
export const letGoOfHeld = (hold: string): Promise<void> =>
  rm(hold, { recursive: true, force: true });
