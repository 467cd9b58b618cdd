import { randomBytes } from 'node:crypto';
import pg from 'pg';

/** Makes an empty database on a server that is ours alone; its address. It goes with the server. */
export const databaseOn = async (server: string): Promise<string> => {
  const client = new pg.Client({ connectionString: server });
  await client.connect();
  try {
    const name = `bench_${randomBytes(6).toString('hex')}`;
    await client.query(`CREATE DATABASE ${name}`);
    const address = new URL(server);
    address.pathname = `/${name}`;
    return address.href;
  } finally {
    await client.end();
  }
};
