import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** Where the servers that are measured beside ours are installed: outside the product, and of git. */
const DIRECTORY = join(import.meta.dirname, '../../.output/stock-servers');

const MANIFEST = JSON.stringify({
  name: 'stock-servers',
  private: true,
  type: 'module',
  dependencies: {
    '@hocuspocus/server': '3.4.4',
    '@y/websocket-server': '0.1.1',
    lib0: '0.2.120',
    ws: '8.23.0',
    'y-protocols': '1.0.7',
    yjs: '13.6.33',
  },
});

/** Hocuspocus without hooks and without a store, as its own documentation starts it. */
const HOCUSPOCUS = `import { Server } from '@hocuspocus/server';
const server = new Server({ port: Number(process.env.PORT), address: '127.0.0.1', quiet: true });
await server.listen();
console.log('running');
`;

/** Scripts of the servers beside ours, or the words why there are none. */
export type StockServers = { yws: string; hocuspocus: string } | { missing: string };

/** Installs them when they are not there; nothing of them is ever a dependency of the product. */
export const stockServers = (): StockServers => {
  const manifest = join(DIRECTORY, 'package.json');
  const hocuspocus = join(DIRECTORY, 'hocuspocus.mjs');
  const yws = join(DIRECTORY, 'node_modules/@y/websocket-server/src/server.js');
  const there = existsSync(yws) && readFileSync(manifest, 'utf8') === MANIFEST;
  if (!there) {
    mkdirSync(DIRECTORY, { recursive: true });
    writeFileSync(manifest, MANIFEST);
    const flags = ['--ignore-scripts', '--no-audit', '--no-fund'];
    const run = spawnSync('npm', ['install', ...flags], {
      cwd: DIRECTORY,
      encoding: 'utf8',
      timeout: 90_000,
    });
    if (run.status !== 0) {
      const why = run.error?.message ?? run.stderr.trim().split('\n').at(-1) ?? '';
      return { missing: `the stock servers cannot be installed: ${why}` };
    }
  }
  writeFileSync(hocuspocus, HOCUSPOCUS);
  return { yws, hocuspocus };
};
