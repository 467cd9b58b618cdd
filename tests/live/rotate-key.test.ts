import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { openKeys, signerOf } from '../../server/src/adapters/key-files.ts';
import { keysOf } from '../../server/src/audit/key-chain.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { livePanel } from '../support/live-panel.ts';
import { runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const started = async (directory: string, port = 0): Promise<Program> => {
  const program = await startProgram(directory, port);
  onTestFinished(() => program.stop('SIGKILL'));
  return program;
};

/** Opens the round, adopts what was rated and locks; the bundle, in a file. */
const locked = async (
  p: Awaited<ReturnType<typeof livePanel>>,
  url: string,
  directory: string,
): Promise<string> => {
  const { moderator } = p;
  await moderator.onEvaluation({ type: 'open-round', withMissing: true });
  await moderator.until('opened', (v) => v.head?.stage === 'opened' && v.tasks !== undefined);
  await moderator.onEvaluation({ type: 'adopt-undisputed' });
  await moderator.onEvaluation({ type: 'lock', meaning: 'Invented.' });
  const response = await fetch(`${url}/api/evaluations/${p.evaluation}/bundle`, {
    headers: { cookie: moderator.cookie },
  });
  expect(response.status).toBe(200);
  const file = join(directory, 'record.json');
  writeFileSync(file, Buffer.from(await response.arrayBuffer()));
  return file;
};

test('KR-2: a key is changed while the server is stopped, the panel goes on, and the first key still proves the record', async () => {
  const directory = temporaryDirectory();
  const first = await started(directory);
  const old = verifierKey(signerOf(openKeys(directory, true)));
  const p = await livePanel(first.url, first.signInLink ?? '');
  const ada = await p.join('reviewer', 'Ada (invented)');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await ada.client.openSheet(1);
  sheet.set('chest-access', { answer: 3 });
  await sheet.saved();
  sheet.close();

  const refused = await runProgram(['rotate-key', '--data-dir', directory]);
  expect(refused).toMatchObject({
    code: 1,
    err: expect.stringMatching(/Stop it first/u) as string,
  });
  expect(verifierKey(signerOf(openKeys(directory, true)))).toBe(old);

  const copy = join(directory, 'before.backup');
  expect(await runProgram(['backup', copy, '--data-dir', directory])).toMatchObject({ code: 0 });
  await first.stop();
  const done = await runProgram(['rotate-key', '--data-dir', directory]);
  expect(done).toMatchObject({ code: 0, err: '' });
  const [, now = ''] = keysOf(signerOf(openKeys(directory, true)));
  expect(done.out).toContain(`Old: ${old}\nNew: ${now}`);

  const again = await started(directory, Number(new URL(first.url).port));
  await p.moderator.watch(p.evaluation);
  const file = await locked(p, again.url, directory);
  const verify = (...args: string[]) => runProgram(['verify', file, ...args]);
  expect(await verify('--key', old)).toMatchObject({ code: 0 });
  expect((await verify('--key', now)).out).toMatch(/^HOLDS, signed by the key you named/u);
  const stranger = verifierKey({ name: 'unhindered.local', seed: new Uint8Array(32).fill(9) });
  expect(await verify('--key', stranger)).toMatchObject({
    code: 1,
    out: expect.stringMatching(/^DOES NOT HOLD \(key\)/u) as string,
  });

  // A backup from before, which the old key signed, is still one of this server.
  await again.stop();
  expect(await runProgram(['restore', copy, '--data-dir', directory])).toMatchObject({ code: 0 });
}, 60_000);

test('KR-2: without a key there is nothing to take over from', async () => {
  const directory = temporaryDirectory();
  expect(await runProgram(['rotate-key', '--data-dir', directory])).toMatchObject({ code: 2 });
});
