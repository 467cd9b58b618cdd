import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { temporaryDirectory } from './temporary-directory.ts';

/** Whether poppler's tools are on this machine; tests that read pages with them say so when they are not. */
export const noPoppler = (): boolean => {
  const missing = spawnSync('pdftotext', ['-v']).error !== undefined;
  if (missing) process.stderr.write('PDF PAGES NOT READ: pdftotext is not installed.\n');
  return missing;
};

/** What a tool of poppler says about a PDF. */
export const poppler = (tool: string, pdf: Uint8Array, args: readonly string[] = []): string => {
  const path = join(temporaryDirectory(), 'record.pdf');
  writeFileSync(path, pdf);
  const after = tool === 'pdftotext' ? ['-'] : [];
  const run = spawnSync(tool, [...args, path, ...after], { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`${tool}: ${run.stderr}`);
  return run.stdout;
};
