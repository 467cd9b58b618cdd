import { spawn } from 'node:child_process';
import { createClient } from 'redis';
import { freePort, noHaproxy } from '../../support/balancer.ts';
import { noOwnPostgres, ownPostgres } from '../../support/cluster.ts';

/** A PostgreSQL and a Redis that nobody else uses, so that what they cost can be told. */
export interface OwnServices {
  store: string;
  bus: string;
  postgres: number;
  redis: number;
  stop: () => Promise<void>;
}

const ownRedis = async (): Promise<{ address: string; pid: number; stop: () => Promise<void> }> => {
  const port = String(await freePort());
  const flags = ['--port', port, '--bind', '127.0.0.1', '--save', '', '--appendonly', 'no'];
  const child = spawn('redis-server', flags, { stdio: 'ignore' });
  const missing = new Promise<never>((_resolve, reject) => child.once('error', reject));
  const address = `redis://127.0.0.1:${port}`;
  const client = createClient({ url: address });
  client.on('error', () => undefined);
  await Promise.race([client.connect(), missing]);
  client.destroy();
  const stop = async (): Promise<void> => {
    const ended = new Promise((resolve) => child.once('exit', resolve));
    child.kill('SIGKILL');
    await ended;
  };
  return { address, pid: child.pid ?? 0, stop };
};

/** Starts both; words when something that is needed cannot be had here. */
export const ownServices = async (): Promise<OwnServices | string> => {
  if (noOwnPostgres) return 'PostgreSQL is not installed';
  if (noHaproxy) return 'HAProxy is not installed';
  const redis = await ownRedis().catch(() => undefined);
  if (!redis) return 'Redis is not installed';
  try {
    const postgres = await ownPostgres();
    return {
      store: postgres.address,
      bus: redis.address,
      postgres: postgres.pid(),
      redis: redis.pid,
      stop: async () => {
        postgres.stop();
        await redis.stop();
      },
    };
  } catch (error) {
    await redis.stop();
    throw error;
  }
};
