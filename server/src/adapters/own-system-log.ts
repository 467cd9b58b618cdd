import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const ID = /^sy_[A-Za-z0-9_-]+$/u;

/**
 * AU-10: of several processes on one store each has a log of its own for what happens to it: the start of one says
 * nothing of how another ended. Which one is written in the process's own data directory; without it a new one begins.
 */
export const ownSystemLog = (directory: string, workspace: string, newId: () => string): string => {
  const file = join(directory, `system-log.${workspace}`);
  const known = existsSync(file) ? readFileSync(file, 'utf8').trim() : '';
  if (ID.test(known)) return known;
  const id = newId();
  mkdirSync(directory, { recursive: true, mode: 0o700 });
  writeFileSync(file, `${id}\n`, { mode: 0o600 });
  return id;
};
