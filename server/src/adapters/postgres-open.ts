import { randomBytes } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import pg from 'pg';
import { POSTGRES_MIGRATIONS } from './postgres-schema.ts';
import { StoreUnavailable } from './store-unavailable.ts';

/** Connections one process keeps; writes are grouped, so few are enough. */
const CONNECTIONS = 8;
const CONNECT_MS = 5000;
/** Servers that start at once take turns at the schema: any number, the same for all of them. */
const SCHEMA_LOCK = 7_303_014;

/** The words of an address without its password. */
const shown = (address: string): string => address.replace(/:[^:@/]*@/u, ':…@');

/** A balancer gives up on its question after a second or two. */
const ANSWER_MS = 1000;

/** Whether the database answers, within a second. */
export const answers = async (pool: pg.Pool): Promise<boolean> => {
  const asked = pool.query('SELECT 1').then(
    () => true,
    () => false,
  );
  return Promise.race([asked, pause(ANSWER_MS, false, { ref: false })]);
};

/** What the database must promise before anything is called saved. */
const REQUIRED = { fsync: 'on', full_page_writes: 'on', synchronous_commit: 'on' } as const;

const refuseUnsafe = async (pool: pg.Pool): Promise<void> => {
  for (const [name, wanted] of Object.entries(REQUIRED)) {
    const { rows } = await pool.query<{ value: string }>('SELECT current_setting($1) AS value', [
      name,
    ]);
    const value = rows[0]?.value;
    // "remote_write" and "remote_apply" wait for a standby on top of the local disk.
    const stronger = name === 'synchronous_commit' && value?.startsWith('remote_');
    if (value !== wanted && stronger !== true) {
      throw new StoreUnavailable(
        `PostgreSQL runs with ${name} = ${value ?? 'unknown'}: what it calls saved may be lost. Set it to ${wanted}.`,
      );
    }
  }
};

const migrate = async (pool: pg.Pool): Promise<void> => {
  const client = await pool.connect();
  try {
    await client.query('BEGIN');
    await client.query('SELECT pg_advisory_xact_lock($1)', [SCHEMA_LOCK]);
    await client.query('CREATE TABLE IF NOT EXISTS schema_step (step INTEGER PRIMARY KEY)');
    const { rows } = await client.query<{ n: string }>('SELECT count(*) AS n FROM schema_step');
    const taken = Number(rows[0]?.n);
    if (taken > POSTGRES_MIGRATIONS.length) {
      throw new StoreUnavailable('The store was written by a newer version. Update this server.');
    }
    for (const [i, sql] of POSTGRES_MIGRATIONS.slice(taken).entries()) {
      await client.query(sql);
      await client.query('INSERT INTO schema_step VALUES ($1)', [taken + i + 1]);
    }
    await client.query('COMMIT');
  } catch (error) {
    await client.query('ROLLBACK');
    throw error;
  } finally {
    client.release();
  }
};

/**
 * Connects to a PostgreSQL database and brings its tables up to date. ST-14: refuses a database that does not sync
 * before it answers. Throws a StoreUnavailable. `lost` hears of connections that broke.
 */
export const openPostgres = async (
  address: string,
  lost: (error: Error) => void,
): Promise<pg.Pool> => {
  const pool = new pg.Pool({
    connectionString: address,
    max: CONNECTIONS,
    connectionTimeoutMillis: CONNECT_MS,
    // Each process has a name of its own: it can be told whether another one is at work.
    application_name: `unhindered ${randomBytes(4).toString('hex')}`,
  });
  // Lent or idle: a connection that breaks between two questions must not take the process down.
  pool.on('connect', (client) => client.on('error', lost));
  pool.on('error', () => undefined);
  try {
    await refuseUnsafe(pool);
    await migrate(pool);
    return pool;
  } catch (error) {
    await pool.end();
    if (error instanceof StoreUnavailable) throw error;
    const why = error instanceof Error ? error.message : String(error);
    throw new StoreUnavailable(`PostgreSQL at ${shown(address)} cannot be used: ${why}`);
  }
};
