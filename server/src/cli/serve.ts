import { StoreUnavailable, startServer } from './compose.ts';
import { readConfig } from './config.ts';

const untilStopped = (): Promise<void> =>
  new Promise((resolve) => {
    process.once('SIGTERM', () => resolve());
    process.once('SIGINT', () => resolve());
  });

/** `serve`: listens until it is told to stop; prints the address, and on the first start the way in. */
export const serve = async (argv: readonly string[], webDirectory: string): Promise<number> => {
  const config = readConfig(argv, process.env);
  let running;
  try {
    running = await startServer(config, webDirectory);
  } catch (error) {
    if (error instanceof StoreUnavailable) {
      process.stderr.write(`${error.message}\n`);
      return 1;
    }
    throw error;
  }
  for (const warning of running.warnings) process.stderr.write(`${warning}\n`);
  const way = running.signInLink === null ? '' : `  Sign in once: ${running.signInLink}`;
  process.stdout.write(`Unhindered is ready at ${running.url}${way}\n`);
  await untilStopped();
  await running.close();
  return 0;
};
