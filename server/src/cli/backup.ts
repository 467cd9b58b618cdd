import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { askControl, controlPath } from './control.ts';
import { readFlags, UsageError } from './read-flags.ts';

/** One file and the data directory of `backup` and `restore`. Throws a UsageError. */
export const fileAndDirectory = (
  command: string,
  argv: readonly string[],
): { file: string; directory: string } => {
  const parsed = readFlags(argv, {
    allowPositionals: true,
    options: { 'data-dir': { type: 'string' } },
  });
  const [file, ...rest] = parsed.positionals;
  if (file === undefined || rest.length > 0) throw new UsageError(`${command} takes one file.`);
  const directory = parsed.values['data-dir'] ?? process.env['DATA_DIR'] ?? './data';
  return { file: resolve(file), directory: resolve(directory) };
};

/** `backup FILE`: the running server writes a consistent copy of its store. The keys are not in it. */
export const backup = async (argv: readonly string[]): Promise<number> => {
  const { file, directory } = fileAndDirectory('backup', argv);
  if (existsSync(file)) {
    process.stderr.write(`${file} is there already. Choose another name.\n`);
    return 2;
  }
  const path = controlPath(directory);
  const answer = path === undefined ? undefined : await askControl(path, { do: 'backup', file });
  if (!answer) {
    process.stderr.write(
      `No server runs on ${directory}. While none does, copying unhindered.sqlite is a backup.\n`,
    );
    return 2;
  }
  if (!answer.ok) {
    process.stderr.write(`No backup was made: ${answer.why}.\n`);
    return 1;
  }
  process.stdout.write(
    `${file} holds ${String(answer.events ?? 0)} events. Keep a copy of ${directory}/keys somewhere else.\n`,
  );
  return 0;
};
