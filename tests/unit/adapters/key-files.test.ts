import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openKeys } from '../../../server/src/adapters/key-files.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

test('makes two keys for a new store, readable by their owner alone, and reads them from then on', () => {
  const directory = temporaryDirectory();
  const made = openKeys(directory, false);
  expect(made.signing).toHaveLength(32);
  expect(made.sheets).toHaveLength(32);
  expect(made.signing).not.toEqual(made.sheets);
  for (const name of ['signing.key', 'sheets.key']) {
    expect(statSync(join(directory, 'keys', name)).mode & 0o777).toBe(0o600);
  }
  expect(statSync(join(directory, 'keys')).mode & 0o777).toBe(0o700);
  expect(openKeys(directory, true)).toEqual(made);
});

test.each(['signing.key', 'sheets.key'])('ST-5: a lost %s is never replaced in silence', (name) => {
  const directory = temporaryDirectory();
  openKeys(directory, false);
  rmSync(join(directory, 'keys', name));
  expect(() => openKeys(directory, true)).toThrow(`${name} is missing`);
  expect(() => readFileSync(join(directory, 'keys', name))).toThrow();
});

test('a key file that holds something else is refused by its name', () => {
  const directory = temporaryDirectory();
  mkdirSync(join(directory, 'keys'));
  writeFileSync(join(directory, 'keys', 'signing.key'), 'abc\n');
  expect(() => openKeys(directory, false)).toThrow('signing.key is not a key of 32 bytes');
});
