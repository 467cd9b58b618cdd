import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openKeys, rotateSigningKey, signerOf } from '../../../server/src/adapters/key-files.ts';
import { StoreUnavailable } from '../../../server/src/adapters/store-unavailable.ts';
import { keysOf } from '../../../server/src/audit/key-chain.ts';
import { verifierKey } from '../../../server/src/audit/signed-note.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

const signing = (directory: string): string => join(directory, 'keys', 'signing.key');

test('KR-2: a new signing key stands in the place of the old one, which is kept nowhere and vouches for it', () => {
  const directory = temporaryDirectory();
  const first = openKeys(directory, false);
  const one = rotateSigningKey(directory);
  const two = rotateSigningKey(directory);
  expect(one.before).toBe(verifierKey(signerOf(first)));
  expect(two.before).toBe(one.now);
  const now = openKeys(directory, true);
  expect(keysOf(signerOf(now))).toEqual([one.before, one.now, two.now]);
  expect(Buffer.from(now.sheets)).toEqual(Buffer.from(first.sheets));
  const kept = readdirSync(join(directory, 'keys')).map((name) =>
    readFileSync(join(directory, 'keys', name), 'utf8'),
  );
  expect(kept.join()).not.toContain(Buffer.from(first.signing).toString('hex'));
  expect(statSync(signing(directory)).mode & 0o077).toBe(0);
});

test('KR-2: what a cut left half written counts for nothing, and the next try writes over it', () => {
  const directory = temporaryDirectory();
  const first = openKeys(directory, false);
  writeFileSync(`${signing(directory)}.next`, 'ab');
  expect(openKeys(directory, true).signing).toEqual(first.signing);
  const { now } = rotateSigningKey(directory);
  expect(existsSync(`${signing(directory)}.next`)).toBe(false);
  expect(verifierKey(signerOf(openKeys(directory, true)))).toBe(now);
});

test('KR-2: a key whose chain does not lead to it is refused with the file’s name', () => {
  const directory = temporaryDirectory();
  openKeys(directory, false);
  rotateSigningKey(directory);
  const [seed = '', link = ''] = readFileSync(signing(directory), 'utf8').split('\n');
  const other = Buffer.alloc(32, 7).toString('hex');
  for (const text of [
    `${other}\n${link}\n`,
    `${seed}\n{}\n`,
    `${seed}\n${link}\n${link}\n`,
    `${seed}\nx`,
  ]) {
    writeFileSync(signing(directory), text);
    const opening = (): unknown => openKeys(directory, true);
    expect(opening, text).toThrow(StoreUnavailable);
    expect(opening, text).toThrow(/signing\.key does not say/u);
  }
});
