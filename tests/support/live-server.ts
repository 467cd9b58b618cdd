import { onTestFinished } from 'vitest';
import { startServer, type Running } from '../../server/src/cli/compose.ts';
import { readConfig } from '../../server/src/cli/config.ts';
import { temporaryDirectory } from './temporary-directory.ts';

/** The real server on a free port over a fresh directory, closed when the test is over. */
export const liveServer = async (
  directory = temporaryDirectory(),
): Promise<Running & { directory: string; signInLink: string }> => {
  const flags = ['--port', '0', '--data-dir', directory, '--log-level', 'error'];
  const running = await startServer(readConfig(flags, {}), directory);
  onTestFinished(() => running.close());
  return { ...running, directory, signInLink: running.signInLink ?? '' };
};
