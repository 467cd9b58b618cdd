import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Check } from './check-list.ts';

/**
 * Prints every comparison of the reference tests with its source (the test's title), what is expected and what
 * was got, then the largest error of each family. Run: `npm run checks`.
 */
const list = join(mkdtempSync(join(tmpdir(), 'unhindered-checks-')), 'checks.jsonl');
const vitest = ['vitest', 'run', '--root', '.', '--config', 'tests/vitest.config.ts'];
const run = spawnSync('npx', [...vitest, '--project', 'core', 'tests/reference'], {
  env: { ...process.env, CHECK_LIST: list },
  encoding: 'utf8',
});
if (run.status !== 0) {
  process.stderr.write(run.stdout + run.stderr);
  process.exit(run.status ?? 1);
}
const checks = readFileSync(list, 'utf8')
  .trim()
  .split('\n')
  .map((line) => JSON.parse(line) as Check)
  .toSorted((a, b) => a.family.localeCompare(b.family) || a.test.localeCompare(b.test));

let title = '';
for (const c of checks) {
  const heading = `${c.family}: ${c.test}`;
  if (heading !== title) process.stdout.write(`\n${heading}\n`);
  title = heading;
  const figures = `expected ${String(c.expected)}, got ${String(c.got)}, error ${c.error.toExponential(1)}`;
  process.stdout.write(`  ${c.what}: ${figures} (allowed ${c.tolerance.toExponential(1)})\n`);
}

process.stdout.write('\nLargest error of each family (relative above 1, absolute below)\n');
const exact = (c: Check): boolean => c.tolerance < 1e-5;
for (const family of new Set(checks.map((c) => c.family))) {
  const own = checks.filter((c) => c.family === family);
  const largest = (of: Check[]): string =>
    of.length === 0 ? '-' : Math.max(...of.map((c) => c.error)).toExponential(1);
  const computed = largest(own.filter(exact));
  const rounded = largest(own.filter((c) => !exact(c)));
  process.stdout.write(
    `  ${family.padEnd(22)} ${String(own.length).padStart(5)} checks, computed ${computed}, printed digits ${rounded}\n`,
  );
}
process.stdout.write(`${String(checks.length)} checks.\n`);
