import { startServer } from '../../server/src/cli/compose.ts';
import { readConfig } from '../../server/src/cli/config.ts';

/**
 * The server in a process that says how much memory it holds: on `measure` it collects garbage and answers with heap
 * and resident bytes. Started with --expose-gc.
 */
const [directory = '', port = '0'] = process.argv.slice(2);
const flags = ['--port', port, '--data-dir', directory, '--log-level', 'error'];
const running = await startServer(readConfig(flags, {}), directory);

process.on('message', () => {
  globalThis.gc?.();
  globalThis.gc?.();
  const { heapUsed, arrayBuffers, rss } = process.memoryUsage();
  process.send?.({ heap: heapUsed + arrayBuffers, rss });
});
process.send?.({ url: running.url, signInLink: running.signInLink });
