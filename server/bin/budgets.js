import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { gzipSync } from 'node:zlib';
import { printPieces } from './screen-pieces.js';

const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const pages = join(root, 'web/dist');

const LIVE = 'src/state/connection.svelte.ts';
const SOCKET = 'src/sync/panel-socket.ts';

/**
 * Most that a person has to load before a screen can be used, gzipped kilobytes of JavaScript. The panel socket's code is
 * counted where the screen is nothing without it; a sheet paints and takes ratings before it comes.
 * What the kilobytes are made of: `npm run budgets -- --what Sheet`, in another language with `--language de`.
 */
const BUDGETS = [
  ['Arrive', ['src/screens/Arrive.svelte'], 22],
  ['Sheet', ['src/screens/Sheet.svelte', LIVE], 65],
  ['Desk', ['src/screens/Desk.svelte', LIVE, SOCKET], 110],
  ['Wall', ['src/screens/Wall.svelte', LIVE, SOCKET], 70],
];
/** Styles are counted the same way: what one screen needs, the hungriest of them. */
const CSS_BUDGET = 10;

let failed = false;
const line = (name, size, budget) => {
  if (size > budget) failed = true;
  process.stdout.write(
    `${name.padEnd(16)} ${size.toFixed(1).padStart(6)} kB of ${String(budget)} ${size > budget ? 'OVER' : 'ok'}\n`,
  );
};

/** What the chunks of one build bring with them; `dist` holds the pages of one language. */
const readBuild = (dist) => {
  const manifest = JSON.parse(readFileSync(join(dist, '.vite/manifest.json'), 'utf8'));
  /** Everything a chunk brings with it, itself included. */
  const closure = (key, seen = new Set()) => {
    if (!manifest[key]) throw new Error(`the build has no ${key}`);
    if (seen.has(key)) return seen;
    seen.add(key);
    for (const next of manifest[key].imports ?? []) closure(next, seen);
    return seen;
  };
  const chunksOf = (keys) => [...new Set(['index.html', ...keys].flatMap((k) => [...closure(k)]))];
  const kilobytes = (files) =>
    files.reduce((sum, f) => sum + gzipSync(readFileSync(join(dist, f)), { level: 9 }).length, 0) /
    1000;
  return {
    screens: Object.keys(manifest).filter((k) => k.startsWith('src/screens/')),
    scripts: (keys) => [...new Set(chunksOf(keys).map((k) => manifest[k].file))],
    styles: (keys) => [...new Set(chunksOf(keys).flatMap((k) => manifest[k].css ?? []))],
    kilobytes,
  };
};

/** One language's pages: its words are in the files that are counted, as every person loads them. */
const measure = (language) => {
  const { screens, scripts, styles, kilobytes } = readBuild(join(pages, language));
  for (const [name, keys, budget] of BUDGETS)
    line(`${name}, ${language}`, kilobytes(scripts(keys)), budget);
  const [hungriest, css] = screens
    .map((k) => [k, kilobytes(styles([k]))])
    .toSorted(([, a], [, b]) => b - a)[0];
  line(`CSS, ${hungriest.replace(/^.*\/|\.svelte$/gu, '')}, ${language}`, css, CSS_BUDGET);
};

const { values } = parseArgs({
  options: { what: { type: 'string' }, language: { type: 'string', default: 'en' } },
});
if (values.what === undefined) {
  for (const language of readdirSync(pages).toSorted()) {
    if (existsSync(join(pages, language, 'index.html'))) measure(language);
  }
} else {
  const wanted = values.what.toLowerCase();
  const [, keys] = BUDGETS.find(([name]) => name.toLowerCase() === wanted) ?? [];
  const names = BUDGETS.map(([name]) => name).join(', ');
  if (keys) await printPieces(root, values.language, (dist) => readBuild(dist).scripts(keys));
  else
    process.stderr.write(`No screen "${values.what}" has a budget; those that have: ${names}.\n`);
  failed = !keys;
}
process.exit(failed ? 1 : 0);
