import { parseArgs, type ParseArgsConfig } from 'node:util';

/** A usage fault, in words; the program exits with 2. */
export class UsageError extends Error {}

/** Reads the flags of a command as Node's `parseArgs` does. Throws a UsageError for what it does not know. */
export const readFlags = <const T extends Omit<ParseArgsConfig, 'args'>>(
  argv: readonly string[],
  flags: T,
): ReturnType<typeof parseArgs<T>> => {
  try {
    return parseArgs<T>({ ...flags, args: [...argv] });
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : 'unknown flag');
  }
};

/** Where a command keeps or finds everything: what the flag says, or DATA_DIR, or `./data`. */
export const dataDirectory = (
  flag: string | undefined,
  environment: NodeJS.ProcessEnv = process.env,
): string => flag ?? environment['DATA_DIR'] ?? './data';
