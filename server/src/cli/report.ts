import { writeFileSync } from 'node:fs';
import { paperFonts } from '../adapters/paper-fonts.ts';
import { readFlags, UsageError } from './read-flags.ts';
import { makeRecord } from './make-record.ts';
import { heldBundle } from './read-bundle.ts';

const options = (argv: readonly string[]) =>
  readFlags(argv, {
    allowPositionals: true,
    options: {
      out: { type: 'string' },
      paper: { type: 'string', default: 'a4' },
      names: { type: 'boolean', default: false },
      key: { type: 'string' },
    },
  });

/** `report BUNDLE --out FILE`: the record as a tagged PDF; 0 written, 1 the bundle does not hold, 2 unreadable. */
export const report = async (argv: readonly string[]): Promise<number> => {
  const { values, positionals } = options(argv);
  const [file, ...rest] = positionals;
  const { out, paper, names, key } = values;
  if (file === undefined || rest.length > 0) throw new UsageError('report takes one bundle.');
  if (out === undefined) throw new UsageError('--out FILE names the PDF to write.');
  if (paper !== 'a4' && paper !== 'letter') throw new UsageError('--paper takes a4 or letter.');
  const held = heldBundle(file, key);
  if ('exit' in held) return held.exit;
  const made = await makeRecord({ form: 'paper', paper, bundle: held.bytes, names }, paperFonts);
  try {
    writeFileSync(out, made.bytes ?? '');
  } catch {
    process.stderr.write(`${out} cannot be written.\n`);
    return 2;
  }
  process.stdout.write(`${out}: the record, ${String(made.bytes?.length ?? 0)} bytes.\n`);
  return 0;
};
