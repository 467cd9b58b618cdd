import { randomBytes } from 'node:crypto';
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

/** A database of its own, and how to be rid of it. */
export const freshDatabase = async (): Promise<{ address: string; drop: () => Promise<void> }> => {
  const name = `unhindered_test_${randomBytes(6).toString('hex')}`;
  await onServer(`CREATE DATABASE ${name}`);
  const address = new URL(SERVER);
  address.pathname = `/${name}`;
  return {
    address: address.href,
    drop: async () => void (await onServer(`DROP DATABASE ${name} WITH (FORCE)`)),
  };
};
