import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { temporaryDirectory } from './temporary-directory.ts';

/** Libraries loaded before the C library are built here, for Linux, by the system's compiler. */
export const hasCompiler = spawnSync('cc', ['--version']).status === 0;

/** Said when a family cannot run, so that its absence is seen. */
export const NO_COMPILER = 'NOT RUN: no C compiler (cc) on this machine; install one.';

/** Builds `tests/support/<name>.c`; returns the library's path. Throws with the compiler's words. */
export const preload = (name: string): string => {
  const library = join(temporaryDirectory(), `${name}.so`);
  const source = join(import.meta.dirname, `${name}.c`);
  const built = spawnSync('cc', ['-shared', '-fPIC', '-O2', '-o', library, source, '-ldl']);
  if (built.status !== 0) throw new Error(built.stderr.toString());
  return library;
};
