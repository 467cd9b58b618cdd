import { createClient } from 'redis';

/** The Redis that tests may use. */
export const REDIS = process.env['TEST_REDIS'] ?? 'redis://127.0.0.1:6379';

const reachable = async (): Promise<boolean> => {
  const client = createClient({ url: REDIS, socket: { reconnectStrategy: false } });
  client.on('error', () => undefined);
  try {
    await client.connect();
    client.destroy();
    return true;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    if (process.env['REQUIRE_SERVICES'] === '1') {
      throw new Error(`Redis is required at ${REDIS}: ${why}`, { cause: error });
    }
    process.stderr.write(`TESTS OF SEVERAL PROCESSES SKIPPED: no Redis at ${REDIS}: ${why}\n`);
    return false;
  }
};

/** Whether tests of several processes can run here; in CI their absence is a failure. */
export const noRedis = !(await reachable());
