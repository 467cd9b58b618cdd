import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

const dist = join(dirname(fileURLToPath(import.meta.url)), '../../web/dist');
const manifest = JSON.parse(readFileSync(join(dist, '.vite/manifest.json'), 'utf8'));

/**
 * Most that a person has to load before a screen can be used, gzipped kilobytes of JavaScript. The socket's code is
 * counted where the screen is nothing without it; a sheet paints and takes ratings before it comes.
 * The goals are 22 and 65 for the first two; these gates keep what is reached.
 */
const BUDGETS = [
  ['Arrive', ['src/screens/Arrive.svelte'], 25],
  ['Sheet', ['src/screens/Sheet.svelte'], 75],
  ['Desk', ['src/screens/Desk.svelte', 'src/state/connection.svelte.ts'], 110],
  ['Wall', ['src/screens/Wall.svelte', 'src/state/connection.svelte.ts'], 70],
];
/** Styles are counted the same way: what one screen needs, the hungriest of them. */
const CSS_BUDGET = 10;

const kilobytes = (files) =>
  [...files].reduce(
    (sum, f) => sum + gzipSync(readFileSync(join(dist, f)), { level: 9 }).length,
    0,
  ) / 1000;

/** Everything a chunk brings with it, itself included. */
const closure = (key, seen = new Set()) => {
  if (seen.has(key)) return seen;
  seen.add(key);
  for (const next of manifest[key]?.imports ?? []) closure(next, seen);
  return seen;
};

let failed = false;
const line = (name, size, budget) => {
  if (size > budget) failed = true;
  process.stdout.write(
    `${name.padEnd(12)} ${size.toFixed(1).padStart(6)} kB of ${String(budget)} ${size > budget ? 'OVER' : 'ok'}\n`,
  );
};
for (const [name, keys, budget] of BUDGETS) {
  const chunks = new Set(
    ['index.html', ...keys].flatMap((k) => {
      if (!manifest[k]) throw new Error(`the build has no ${k}`);
      return [...closure(k)];
    }),
  );
  line(name, kilobytes(new Set([...chunks].map((k) => manifest[k].file))), budget);
}
const stylesOf = (key) =>
  [...new Set(['index.html', key].flatMap((k) => [...closure(k)]))].flatMap(
    (k) => manifest[k].css ?? [],
  );
const screens = Object.keys(manifest).filter((k) => k.startsWith('src/screens/'));
const [hungriest, css] = screens
  .map((k) => [k, kilobytes(new Set(stylesOf(k)))])
  .toSorted(([, a], [, b]) => b - a)[0];
line(`CSS, ${hungriest.replace(/^.*\/|\.svelte$/gu, '')}`, css, CSS_BUDGET);
process.exit(failed ? 1 : 0);
