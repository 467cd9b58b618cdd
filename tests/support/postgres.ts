import { randomBytes } from 'node:crypto';
import { setTimeout } from 'node:timers/promises';
import pg from 'pg';

/** The server that tests may make databases on. */
const SERVER = process.env['TEST_POSTGRES'] ?? 'postgres://postgres@127.0.0.1:5432/postgres';

const reachable = async (): Promise<boolean> => {
  const client = new pg.Client({ connectionString: SERVER, connectionTimeoutMillis: 3000 });
  try {
    await client.connect();
    await client.end();
    return true;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    if (process.env['REQUIRE_SERVICES'] === '1') {
      throw new Error(`PostgreSQL is required at ${SERVER}: ${why}`, { cause: error });
    }
    process.stderr.write(
      `SHARED STORE TESTS SKIPPED: no PostgreSQL at ${SERVER} (set TEST_POSTGRES): ${why}\n`,
    );
    return false;
  }
};

/** Whether tests of the shared store can run here; in CI their absence is a failure. */
export const noPostgres = !(await reachable());

/** Runs one statement on the server itself. */
export const onServer = async (sql: string): Promise<pg.QueryResult> => {
  const client = new pg.Client({ connectionString: SERVER });
  await client.connect();
  try {
    return await client.query(sql);
  } finally {
    await client.end();
  }
};

/** How often, every 50 ms, a database is looked at before whoever is still in it is put out. */
const LOOKS = 60;

/** A pool has ended before its connections are gone; who is put out then tells it as an error that nobody awaits. */
const untilLeft = async (name: string): Promise<void> => {
  for (let look = 0; look < LOOKS; look++) {
    const { rowCount } = await onServer(
      `SELECT 1 FROM pg_stat_activity WHERE datname = '${name}' LIMIT 1`,
    );
    if (rowCount === 0) return;
    await setTimeout(50);
  }
};

/** A database of its own, and how to be rid of it. */
export const freshDatabase = async (): Promise<{ address: string; drop: () => Promise<void> }> => {
  const name = `unhindered_test_${randomBytes(6).toString('hex')}`;
  await onServer(`CREATE DATABASE ${name}`);
  const address = new URL(SERVER);
  address.pathname = `/${name}`;
  return {
    address: address.href,
    drop: async () => {
      await untilLeft(name);
      await onServer(`DROP DATABASE ${name} WITH (FORCE)`);
    },
  };
};
