import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { exportFiles } from '../report/open-data/export-files.ts';
import { readSource } from '../report/record-source.ts';
import { readFlags, UsageError } from './read-flags.ts';
import { heldBundle } from './read-bundle.ts';

const options = (argv: readonly string[]) =>
  readFlags(argv, {
    allowPositionals: true,
    options: { out: { type: 'string' }, key: { type: 'string' } },
  });

/** `export BUNDLE --out DIR`: the open data as CSV with its dictionary; exit codes as for `report`. */
export const exportCommand = (argv: readonly string[]): Promise<number> => {
  const { values, positionals } = options(argv);
  const [file, ...rest] = positionals;
  const { out, key } = values;
  if (file === undefined || rest.length > 0) throw new UsageError('export takes one bundle.');
  if (out === undefined) throw new UsageError('--out DIR names the folder to write to.');
  const held = heldBundle(file, key);
  if ('exit' in held) return Promise.resolve(held.exit);
  const files = exportFiles(readSource(held.bytes));
  try {
    mkdirSync(out, { recursive: true });
    for (const { name, text } of files) writeFileSync(join(out, name), text);
  } catch {
    process.stderr.write(`${out} cannot be written.\n`);
    return Promise.resolve(2);
  }
  for (const f of files) {
    const lines = f.name === 'dictionary.csv' ? '' : `, ${String(f.rows)} rows`;
    process.stdout.write(`${join(out, f.name)}${lines}: ${f.meaning}.\n`);
  }
  process.stdout.write(
    'Text that a spreadsheet would take for a formula has an apostrophe in front; see dictionary.csv.\n',
  );
  return Promise.resolve(0);
};
