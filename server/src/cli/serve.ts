import { StoreUnavailable } from '../adapters/store-unavailable.ts';
import { startServer, type Running } from './compose.ts';
import { readConfig, type Config } from './config.ts';
import { UsageError } from './read-flags.ts';

const untilStopped = (): Promise<void> =>
  new Promise((resolve) => {
    process.once('SIGTERM', () => resolve());
    process.once('SIGINT', () => resolve());
  });

/** What a person can do about a start that failed; undefined for a fault of the program. */
const remedy = (error: unknown, config: Config): string | undefined => {
  if (error instanceof StoreUnavailable) return error.message;
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'EADDRINUSE') {
    const port = error instanceof Error && 'port' in error ? Number(error.port) : config.port;
    const setting = port === config.port ? 'PORT or --port' : 'METRICS or --metrics';
    return `Port ${String(port)} is in use. Choose another with ${setting}.`;
  }
  if (code === 'EADDRNOTAVAIL') return `${config.host} is no address of this machine.`;
  if (code === 'EROFS') return `${config.dataDirectory} is on a disk that is read-only.`;
  if (code === 'EACCES') return `Not allowed: ${(error as Error).message}.`;
  return undefined;
};

const start = async (config: Config, webDirectory: string): Promise<Running | string> => {
  try {
    return await startServer(config, webDirectory);
  } catch (error) {
    const words = remedy(error, config);
    if (words !== undefined) return words;
    const path = error instanceof Error && 'path' in error ? String(error.path) : undefined;
    if (path !== undefined && (path === config.tls?.cert || path === config.tls?.key)) {
      throw new UsageError(`${path} cannot be read.`);
    }
    throw error;
  }
};

/** `serve`: listens until it is told to stop; prints the address, and on the first start the way in. */
export const serve = async (argv: readonly string[], webDirectory: string): Promise<number> => {
  const running = await start(readConfig(argv, process.env), webDirectory);
  if (typeof running === 'string') {
    process.stderr.write(`${running}\n`);
    return 1;
  }
  for (const warning of running.warnings) process.stderr.write(`${warning}\n`);
  if (running.metrics !== null)
    process.stderr.write(`Figures for the operator: ${running.metrics}\n`);
  const way = running.signInLink === null ? '' : `  Sign in once: ${running.signInLink}`;
  // Whoever reads the line may tell it to stop at once.
  const stopped = untilStopped();
  process.stdout.write(`Unhindered is ready at ${running.url}${way}\n`);
  await stopped;
  // Told twice, it waits for no load balancer.
  await running.close(untilStopped());
  return 0;
};
