import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { ownSystemLog } from '../../../server/src/adapters/own-system-log.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

test('AU-10: a process finds its own log again, and no other process or workspace gets it', () => {
  let made = 0;
  const newId = (): string => `sy_${String(++made)}`;
  const [one, two] = [temporaryDirectory(), temporaryDirectory()];
  expect(ownSystemLog(one, 'ws_1', newId)).toBe('sy_1');
  expect(ownSystemLog(two, 'ws_1', newId)).toBe('sy_2');
  expect(ownSystemLog(one, 'ws_2', newId)).toBe('sy_3');
  expect(ownSystemLog(one, 'ws_1', newId)).toBe('sy_1');
  expect(made).toBe(3);
});

test('AU-10: a file that names no log begins a new one, which is found again', () => {
  const directory = temporaryDirectory();
  writeFileSync(join(directory, 'system-log.ws_1'), 'ev_stray\n');
  expect(ownSystemLog(directory, 'ws_1', () => 'sy_new')).toBe('sy_new');
  expect(readFileSync(join(directory, 'system-log.ws_1'), 'utf8')).toBe('sy_new\n');
});
