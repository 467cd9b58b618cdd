import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { freshDirectory, removeDirectory, runProgram } from '../support/program.ts';
import { lockedBundle } from '../support/locked-bundle.ts';

let directory: string;
let bundle: string;
let key: string;

beforeAll(async () => {
  directory = freshDirectory();
  const locked = await lockedBundle();
  ({ key } = locked);
  bundle = join(directory, 'bundle.json');
  writeFileSync(bundle, locked.bytes);
});

afterAll(() => removeDirectory(directory));

test('`report` prints a record from a bundle alone, twice the same', async () => {
  const [a, b] = [join(directory, 'a.pdf'), join(directory, 'b.pdf')];
  const run = await runProgram(['report', bundle, '--out', a, '--key', key]);
  expect(run).toMatchObject({ code: 0, err: '' });
  expect(run.out).toContain('a.pdf: the record');
  const bare = await runProgram(['report', bundle, '--out', b]);
  expect(bare.err).toContain('not anchored');
  expect(readFileSync(a).subarray(0, 8).toString()).toBe('%PDF-1.7');
  expect(readFileSync(a).equals(readFileSync(b))).toBe(true);
});

test('`export` writes the data with its dictionary, and `analyse` takes the counted ratings', async () => {
  const out = join(directory, 'data');
  const run = await runProgram(['export', bundle, '--out', out]);
  expect(run.code).toBe(0);
  expect(readdirSync(out).toSorted()).toEqual([
    'counted.csv',
    'dictionary.csv',
    'events.csv',
    'ratings.csv',
    'tasks.csv',
  ]);
  expect(run.out).toContain('has an apostrophe in front');
  // Rows and not lines: a note may hold some of its own.
  expect(run.out).toMatch(/ratings\.csv, 16 rows: One row for each rating on record\./u);
  const analysed = await runProgram(['analyse', join(out, 'counted.csv'), '--json']);
  expect(analysed.code).toBe(0);
});

test('nothing is written from a bundle that does not hold', async () => {
  const bent = join(directory, 'bent.json');
  writeFileSync(bent, readFileSync(bundle, 'utf8').replace('Heron 3', 'Heron 4'));
  const out = join(directory, 'bent.pdf');
  const run = await runProgram(['report', bent, '--out', out]);
  expect(run.code).toBe(1);
  expect(run.err).toContain('DOES NOT HOLD');
  expect(readdirSync(directory)).not.toContain('bent.pdf');
  expect((await runProgram(['export', bent, '--out', join(directory, 'bent')])).code).toBe(1);
  expect(readdirSync(directory)).not.toContain('bent');
});

test.each([
  [['report']],
  [['report', 'BUNDLE']],
  [['report', 'BUNDLE', '--out', 'x.pdf', '--paper', 'a3']],
  [['export', 'BUNDLE']],
  [['report', 'missing.json', '--out', 'x.pdf']],
])('%j is told what is missing, with exit code 2', async (args) => {
  const run = await runProgram(args.map((a) => (a === 'BUNDLE' ? bundle : a)));
  expect(run.code).toBe(2);
  expect(run.err).not.toBe('');
});

test('a place that cannot be written is said', async () => {
  const taken = join(directory, 'taken');
  mkdirSync(taken);
  const run = await runProgram(['report', bundle, '--out', taken]);
  expect(run).toMatchObject({ code: 2 });
  expect(run.err).toContain('cannot be written');
});
