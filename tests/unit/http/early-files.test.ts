import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { earlyFiles } from '../../../server/src/http/early-files.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

const MANIFEST = {
  'index.html': { file: 'assets/app-1.js', imports: ['_shell.js'] },
  '_shell.js': { file: 'assets/shell-1.js', css: ['assets/shell-1.css'] },
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

const SHEET = '/evaluation/ev_AAAAAAAAAAAAAAAAAAAA-_/sheet';

test('PG-1: the shell names itself and then what a screen that phones open first needs, each file once', () => {
  const early = earlyFiles(built());
  expect(early('/join')?.split(', ')).toEqual([
    '</assets/shell-1.css>; rel=preload; as=style; crossorigin',
    '</assets/app-1.js>; rel=modulepreload',
    '</assets/shell-1.js>; rel=modulepreload',
    '</assets/Arrive-1.js>; rel=modulepreload',
  ]);
  expect(early(SHEET)?.split(', ').slice(2)).toEqual([
    '</assets/shell-1.css>; rel=preload; as=style; crossorigin',
    '</assets/Sheet-1.css>; rel=preload; as=style; crossorigin',
    '</assets/app-1.js>; rel=modulepreload',
    '</assets/shell-1.js>; rel=modulepreload',
    '</assets/Sheet-1.js>; rel=modulepreload',
    '</assets/yjs-1.js>; rel=modulepreload',
    '</assets/connection-1.js>; rel=modulepreload',
  ]);
});

test('PG-2: a page at a sheet names the two answers it begins with, and nothing of an address that is none', () => {
  const early = earlyFiles(built());
  const asks = '/api/evaluations/ev_AAAAAAAAAAAAAAAAAAAA-_';
  expect(early(SHEET)?.split(', ').slice(0, 2)).toEqual([
    `<${asks}/first-look>; rel=preload; as=fetch; crossorigin`,
    `<${asks}/protocol>; rel=preload; as=fetch; crossorigin`,
  ]);
  for (const id of ['ev_1', 'ev_AAAAAAAAAAAAAAAAAAAA>;', '../../me'])
    expect(early(`/evaluation/${id}/sheet`), id).toBeUndefined();
});

test('PG-1: other addresses name nothing, nor do pages without a list', () => {
  const early = earlyFiles(built());
  for (const path of ['/', '/joined', SHEET.replace('sheet', 'desk'), '/assets/Sheet-1.js'])
    expect(early(path), path).toBeUndefined();
  expect(earlyFiles(temporaryDirectory())('/join')).toBeUndefined();
});
