import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

const pages = join(dirname(fileURLToPath(import.meta.url)), '../../web/dist');

/**
 * Most that a person has to load before a screen can be used, gzipped kilobytes of JavaScript. The socket's code is
 * counted where the screen is nothing without it; a sheet paints and takes ratings before it comes.
 * The goals are 22 and 65 for the first two; these gates keep what is reached.
 */
const BUDGETS = [
  ['Arrive', ['src/screens/Arrive.svelte'], 24.5],
  ['Sheet', ['src/screens/Sheet.svelte'], 68],
  ['Desk', ['src/screens/Desk.svelte', 'src/state/connection.svelte.ts'], 110],
  ['Wall', ['src/screens/Wall.svelte', 'src/state/connection.svelte.ts'], 70],
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

/** One language's pages: its words are in the files that are counted, as every person loads them. */
const measure = (language) => {
  const dist = join(pages, language);
  const manifest = JSON.parse(readFileSync(join(dist, '.vite/manifest.json'), 'utf8'));
  const kilobytes = (files) =>
    [...files].reduce(
      (sum, f) => sum + gzipSync(readFileSync(join(dist, f)), { level: 9 }).length,
      0,
    ) / 1000;

  /** Everything a chunk brings with it, itself included. */
  const closure = (key, seen = new Set()) => {
    if (!manifest[key]) throw new Error(`the build has no ${key}`);
    if (seen.has(key)) return seen;
    seen.add(key);
    for (const next of manifest[key].imports ?? []) closure(next, seen);
    return seen;
  };
  const chunksOf = (keys) => new Set(['index.html', ...keys].flatMap((k) => [...closure(k)]));

  for (const [name, keys, budget] of BUDGETS) {
    const files = new Set([...chunksOf(keys)].map((k) => manifest[k].file));
    line(`${name}, ${language}`, kilobytes(files), budget);
  }
  const stylesOf = (key) => new Set([...chunksOf([key])].flatMap((k) => manifest[k].css ?? []));
  const screens = Object.keys(manifest).filter((k) => k.startsWith('src/screens/'));
  const [hungriest, css] = screens
    .map((k) => [k, kilobytes(stylesOf(k))])
    .toSorted(([, a], [, b]) => b - a)[0];
  line(`CSS, ${hungriest.replace(/^.*\/|\.svelte$/gu, '')}, ${language}`, css, CSS_BUDGET);
};

for (const language of readdirSync(pages).toSorted()) {
  if (existsSync(join(pages, language, 'index.html'))) measure(language);
}
process.exit(failed ? 1 : 0);
