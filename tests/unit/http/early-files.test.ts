import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { earlyFiles } from '../../../server/src/http/early-files.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

const MANIFEST = {
  'index.html': { file: 'assets/app-1.js', imports: ['_shell.js'] },
  '_shell.js': { file: 'assets/shell-1.js' },
  '_yjs.js': { file: 'assets/yjs-1.js', imports: ['_shell.js'] },
  'src/screens/Arrive.svelte': { file: 'assets/Arrive-1.js', imports: ['_shell.js'] },
  'src/screens/Sheet.svelte': {
    file: 'assets/Sheet-1.js',
    imports: ['_shell.js', '_yjs.js'],
    css: ['assets/Sheet-1.css'],
  },
  'src/state/connection.svelte.ts': { file: 'assets/connection-1.js', imports: ['_yjs.js'] },
};

const built = (): string => {
  const directory = temporaryDirectory();
  mkdirSync(join(directory, '.vite'));
  writeFileSync(join(directory, '.vite/manifest.json'), JSON.stringify(MANIFEST));
  return directory;
};

test('PG-1: the shell names what a screen that phones open first needs beyond it, each file once', () => {
  const early = earlyFiles(built());
  expect(early('/join')).toBe('</assets/Arrive-1.js>; rel=modulepreload');
  expect(early('/evaluation/ev_1/sheet')?.split(', ')).toEqual([
    '</assets/Sheet-1.js>; rel=modulepreload',
    '</assets/yjs-1.js>; rel=modulepreload',
    '</assets/connection-1.js>; rel=modulepreload',
    '</assets/Sheet-1.css>; rel=preload; as=style; crossorigin',
  ]);
});

test('PG-1: other addresses name nothing, nor do pages without a list', () => {
  const early = earlyFiles(built());
  for (const path of ['/', '/joined', '/evaluation/ev_1/desk', '/assets/Sheet-1.js'])
    expect(early(path), path).toBeUndefined();
  expect(earlyFiles(temporaryDirectory())('/join')).toBeUndefined();
});
