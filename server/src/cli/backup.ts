import { randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { rename } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { askControl, controlPath, type ControlAnswer } from './control.ts';
import {
  copyRecorded,
  holdKept,
  letGoOfHeld,
  lostLines,
  mediaBeside,
  type LostFile,
} from './media-copies.ts';
import { filesOnRecord, type RecordedFile } from './media-on-record.ts';
import { openFile } from './open-store.ts';
import { dataDirectory, readFlags, UsageError } from './read-flags.ts';

/** One file and the data directory of `backup` and `restore`, and the flags that were set. */
export interface Asked {
  file: string;
  directory: string;
  set: readonly string[];
  /** A file that holds the key of sealed sheets of before. */
  sheetsKey: string | undefined;
}

/** What a command line asks of them; `--sheets-key` only where there are flags. Throws a UsageError. */
export const fileAndDirectory = (
  command: string,
  argv: readonly string[],
  flags: readonly string[] = [],
): Asked => {
  const parsed = readFlags(argv, {
    allowPositionals: true,
    options: {
      'data-dir': { type: 'string' },
      ...(flags.length > 0 ? { 'sheets-key': { type: 'string' as const } } : {}),
      ...Object.fromEntries(flags.map((f) => [f, { type: 'boolean' }])),
    },
  });
  const [file, ...rest] = parsed.positionals;
  if (file === undefined || rest.length > 0) throw new UsageError(`${command} takes one file.`);
  const values: Record<string, unknown> = parsed.values;
  const text = (name: string): string | undefined => {
    const given = values[name];
    return typeof given === 'string' ? given : undefined;
  };
  return {
    file: resolve(file),
    directory: resolve(dataDirectory(text('data-dir'))),
    set: flags.filter((f) => values[f] === true),
    sheetsKey: text('sheets-key'),
  };
};

/** Every file that the store of a file says stands, whichever workspace it belongs to. Throws a StoreUnavailable. */
export const recordedIn = async (directory: string, file: string): Promise<RecordedFile[]> => {
  const open = openFile(directory, file);
  try {
    const all: RecordedFile[] = [];
    for (const { id } of await open.workspaces.all()) {
      all.push(...(await filesOnRecord(open.store(id))));
    }
    return all;
  } finally {
    open.close();
  }
};

type Made = Extract<ControlAnswer, { ok: true }> & { files: number; lost: LostFile[] };

/**
 * ME-22: the record is copied first, then the files that the copy names: those held before and those that came meanwhile.
 * So the copy has every file of its record and none that was removed before.
 */
const make = async (
  file: string,
  directory: string,
  path: string,
): Promise<Made | Extract<ControlAnswer, { ok: false }> | undefined> => {
  const media = join(directory, 'media');
  const hold = join(media, `held-${randomUUID()}`);
  try {
    await holdKept(media, hold);
    const answer = await askControl(path, { do: 'backup', file });
    if (!answer?.ok) return answer;
    await holdKept(media, hold);
    const files = await recordedIn(directory, file);
    const part = `${mediaBeside(file)}.part`;
    await letGoOfHeld(part);
    const lost = await copyRecorded(files, [hold], part);
    if (existsSync(part)) await rename(part, mediaBeside(file));
    return { ...answer, files: files.length, lost };
  } finally {
    await letGoOfHeld(hold);
  }
};

const filesLine = (file: string, { files, lost }: Made): string => {
  const kept = files - lost.length;
  if (files === 0) return '';
  return `${mediaBeside(file)} holds ${String(kept)} of ${String(files)} photos and clips; it belongs to that file.\n`;
};

/**
 * `backup FILE`: the running server writes a consistent copy of its store, and the photos and clips that it names are put
 * beside it, checked. The keys are not in it.
 */
export const backup = async (argv: readonly string[]): Promise<number> => {
  const { file, directory } = fileAndDirectory('backup', argv);
  const there = [file, mediaBeside(file)].find((f) => existsSync(f));
  if (there !== undefined) {
    process.stderr.write(`${there} is there already. Choose another name.\n`);
    return 2;
  }
  const path = controlPath(directory);
  const made = path === undefined ? undefined : await make(file, directory, path);
  if (!made) {
    process.stderr.write(
      `No server runs on ${directory}. While none does, copying unhindered.sqlite and media is a backup.\n`,
    );
    return 2;
  }
  if (!made.ok) {
    process.stderr.write(`No backup was made: ${made.why}.\n`);
    return 1;
  }
  process.stdout.write(
    `${file} holds ${String(made.events ?? 0)} events. Keep a copy of ${directory}/keys somewhere else.\n` +
      filesLine(file, made),
  );
  if (made.lost.length === 0) return 0;
  process.stderr.write(
    `These photos and clips are on record and not in the backup:\n${lostLines(join(directory, 'media'), made.lost)}`,
  );
  return 1;
};
