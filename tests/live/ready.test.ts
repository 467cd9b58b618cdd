import { describe, expect, onTestFinished, test } from 'vitest';
import { freshDatabase, noPostgres, onServer } from '../support/postgres.ts';
import { startProgram } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

describe.skipIf(noPostgres)('a server whose database goes away', () => {
  test('OP-6: no balancer sends people to it meanwhile, nobody starts it again, and it comes back by itself', async () => {
    const { address, drop } = await freshDatabase();
    onTestFinished(drop);
    const server = await startProgram(temporaryDirectory(), 0, { STORE: address });
    onTestFinished(() => server.stop('SIGKILL'));
    const status = async (path: string) => (await fetch(`${server.url}${path}`)).status;
    expect(await status('/readyz')).toBe(200);
    const name = new URL(address).pathname.slice(1);
    await onServer(`ALTER DATABASE ${name} ALLOW_CONNECTIONS false`);
    await onServer(
      `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '${name}'`,
    );
    const away = await fetch(`${server.url}/readyz`);
    expect(away.status).toBe(503);
    expect(await away.json()).toEqual({ ready: false, why: 'The store does not answer.' });
    expect(await status('/healthz')).toBe(200);
    await onServer(`ALTER DATABASE ${name} ALLOW_CONNECTIONS true`);
    await expect.poll(() => status('/readyz'), { timeout: 10_000 }).toBe(200);
  }, 60_000);
});
