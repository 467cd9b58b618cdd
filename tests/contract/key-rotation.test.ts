import { describe, expect, onTestFinished, test } from 'vitest';
import { openKeys, rotateSigningKey } from '../../server/src/adapters/key-files.ts';
import { agreeOnKeys } from '../../server/src/adapters/postgres-keys.ts';
import { openPostgres } from '../../server/src/adapters/postgres-open.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const fail = (error: Error): never => {
  throw error;
};

describe.skipIf(noPostgres)('keys of a shared store', () => {
  test('KR-3: a store goes on with keys that took over, once nobody works with the old ones, which are refused then', async () => {
    const database = await freshDatabase();
    onTestFinished(database.drop);
    const directory = temporaryDirectory();
    const old = openKeys(directory, false);
    const one = await openPostgres(database.address, fail);
    await agreeOnKeys(one, 'ws_local', old, directory);
    rotateSigningKey(directory);
    rotateSigningKey(directory);
    const now = openKeys(directory, true);

    const two = await openPostgres(database.address, fail);
    onTestFinished(() => two.end());
    await expect(agreeOnKeys(two, 'ws_local', now, directory)).rejects.toThrow(
      /Stop every server/u,
    );
    // What was refused changed nothing: the old keys are still the ones.
    await agreeOnKeys(one, 'ws_local', old, directory);
    await one.end();

    await agreeOnKeys(two, 'ws_local', now, directory);
    await agreeOnKeys(two, 'ws_local', now, directory);
    await expect(agreeOnKeys(two, 'ws_local', old, '/data')).rejects.toThrow(/\/data\/keys/u);
    const strange = { ...now, signing: new Uint8Array(32).fill(5), before: [] };
    await expect(agreeOnKeys(two, 'ws_local', strange, '/data')).rejects.toThrow(/\/data\/keys/u);
  });
});
