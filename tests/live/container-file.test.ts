import { spawn, spawnSync } from 'node:child_process';
import { chmodSync, chownSync, cpSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import { basename, join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { freePort } from '../support/balancer.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const root = join(import.meta.dirname, '../..');

/** The instructions of the stage that becomes the image. */
const stage = (
  readFileSync(join(root, 'server/container/Containerfile'), 'utf8')
    .split(/^FROM /mu)
    .at(-1) ?? ''
)
  .replaceAll(/\\\n\s*/gu, '')
  .split('\n')
  .map((line) => /^([A-Z]+) (.*)$/u.exec(line))
  .flatMap((found) => (found ? [{ word: found[1] ?? '', text: found[2] ?? '' }] : []));

const texts = (word: string): string[] => stage.filter((i) => i.word === word).map((i) => i.text);

const listIn = (text: string): string[] => JSON.parse(text.slice(text.indexOf('['))) as string[];

/** Puts into a folder what the last stage takes from the first, out of this tree, which is built. */
const copied = (): string => {
  const app = temporaryDirectory();
  chmodSync(app, 0o755);
  for (const text of texts('COPY')) {
    const [, ...words] = text.split(' ');
    const to = words.pop() ?? '';
    for (const from of words.map((w) => w.replace(/^\/app\//u, ''))) {
      const target = to === './' ? join(app, basename(from)) : join(app, to);
      if (from === 'node_modules') symlinkSync(join(root, from), target);
      else cpSync(join(root, from), target, { recursive: true });
    }
  }
  return app;
};

/** The user of the image, where this one may become it and it may read the packages. */
const userOf = (app: string): { uid?: number; gid?: number } => {
  const node = { uid: 1000, gid: 1000 };
  if (process.getuid?.() !== 0) return {};
  const may = spawnSync('test', ['-r', join(app, 'node_modules/express/package.json')], node);
  return may.status === 0 ? node : {};
};

test('the last stage of the container file starts as its user, is healthy, carries a panel and stops', async () => {
  const app = copied();
  const data = temporaryDirectory();
  for (const folder of ['keys', 'media']) mkdirSync(join(data, folder));
  const user = userOf(app);
  expect(texts('USER')).toEqual(['node']);
  if (user.uid !== undefined && user.gid !== undefined) {
    for (const path of [data, join(data, 'keys'), join(data, 'media')])
      chownSync(path, user.uid, user.gid);
  } else process.stderr.write('CONTAINER FILE PLAYED AS THIS USER, not as the one it names\n');
  const port = String(await freePort());
  const environment = Object.fromEntries(
    texts('ENV').flatMap((t) => t.split(' ').map((pair) => pair.split('=') as [string, string])),
  );
  expect(environment).toMatchObject({ PORT: '4780', DATA_DIR: '/data', HOST: '0.0.0.0' });
  const here = { PORT: port, DATA_DIR: data, HOST: '127.0.0.1' };
  const env = { PATH: process.env['PATH'], ...environment, ...here };
  const options = { cwd: app, env, ...user };
  const [node = '', ...program] = listIn(texts('ENTRYPOINT')[0] ?? '');
  const run = (args: readonly string[]) =>
    new Promise<{ code: number | null; out: string }>((resolve) => {
      const child = spawn(node, [...args], options);
      let out = '';
      for (const pipe of [child.stdout, child.stderr])
        pipe.on('data', (chunk: Buffer) => (out += chunk.toString()));
      child.once('exit', (code) => resolve({ code, out }));
    });
  const [, ...look] = listIn(texts('HEALTHCHECK')[0] ?? '').map((w) =>
    w.replace(':4780', `:${port}`),
  );
  expect((await run(look)).code).toBe(1);

  const server = spawn(node, [...program, ...listIn(texts('CMD')[0] ?? '')], options);
  onTestFinished(() => void server.kill('SIGKILL'));
  let said = '';
  for (const pipe of [server.stdout, server.stderr])
    pipe.on('data', (chunk: Buffer) => (said += chunk.toString()));
  const ended = new Promise<number | null>((resolve) => server.once('exit', resolve));
  await expect.poll(() => said, { timeout: 60_000 }).toContain('Sign in once: ');
  expect(said).not.toContain('Building');
  expect(await run(look)).toMatchObject({ code: 0 });
  const link = /Sign in once: (\S+)/u.exec(said)?.[1] ?? '';
  const at = ['--url', `http://127.0.0.1:${port}`, '--sign-in-link', link, '--reviewers', '3'];
  const rehearsed = await run([...program, 'rehearse', ...at]);
  expect(rehearsed.out).toContain('Composite of settled values: ');
  expect(rehearsed.code).toBe(0);
  const page = await fetch(`http://127.0.0.1:${port}/`);
  expect(await page.text()).toContain('<script');
  expect(texts('STOPSIGNAL')).toEqual(['SIGTERM']);
  server.kill('SIGTERM');
  expect(await ended).toBe(0);
}, 180_000);
