import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A directory that is gone when the test is over. */
export const temporaryDirectory = (): string => {
  const directory = mkdtempSync(join(tmpdir(), 'unhindered-test-'));
  onTestFinished(() => rmSync(directory, { recursive: true, force: true }));
  return directory;
};
