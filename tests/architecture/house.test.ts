import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';

const root = join(import.meta.dirname, '../..');

const files = (folder: string, ending: RegExp): string[] =>
  readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((e) => e.isFile() && ending.test(e.name))
    .map((e) => join(e.parentPath, e.name));
const tracked = execFileSync('git', ['ls-files'], { cwd: root, encoding: 'utf8' })
  .trim()
  .split('\n');

describe('the arrows can fail', () => {
  const planted: [rule: string, file: string, imports: string][] = [
    ['consensus-looks-only-down', 'server/src/consensus/a.ts', '../evaluation/b.ts'],
    ['comparison-looks-only-down', 'server/src/comparison/a.ts', '../evaluation/b.ts'],
    ['evaluation-looks-only-down', 'server/src/evaluation/a.ts', '../flows/b.ts'],
    ['report-looks-only-down', 'server/src/report/a.ts', '../flows/b.ts'],
    ['paper-looks-only-down', 'server/src/paper/a.ts', '../report/b.ts'],
    ['media-looks-only-down', 'server/src/media/a.ts', '../evaluation/b.ts'],
    ['measures-looks-only-down', 'server/src/measures/a.ts', '../evaluation/b.ts'],
    ['verifier-is-independent', 'server/src/verify/a.ts', '../audit/merkle.ts'],
    ['pure-rooms-touch-no-machine', 'server/src/protocol/a.ts', 'node:fs'],
    ['flows-looks-only-down', 'server/src/flows/a.ts', '../http/b.ts'],
    ['demo-looks-only-down', 'server/src/demo/a.ts', '../cli/b.ts'],
    ['rehearsal-is-a-client', 'server/src/rehearse/a.ts', '../evaluation/b.ts'],
    ['web-and-server-meet-in-shared-types', 'web/src/state/a.ts', '../../../server/src/flows/b.ts'],
    ['components-hold-no-state', 'web/src/components/a.ts', '../screens/b.ts'],
    ['state-knows-no-screens', 'web/src/state/c.ts', '../screens/b.ts'],
  ];

  test('each planted fault is reported by its rule', () => {
    const tree = mkdtempSync(join(tmpdir(), 'unhindered-arrows-'));
    try {
      const write = (file: string, text: string): void => {
        mkdirSync(dirname(join(tree, file)), { recursive: true });
        writeFileSync(join(tree, file), text);
      };
      for (const [, file, imports] of planted) {
        write(file, `import * as x from '${imports}';\nexport const y = x;\n`);
        if (!imports.startsWith('node:'))
          write(join(dirname(file), imports), 'export const b = 1;\n');
      }
      write(
        'tsconfig.json',
        '{"compilerOptions":{"module":"ESNext","moduleResolution":"bundler"}}',
      );
      const run = spawnSync(
        process.execPath,
        [
          join(root, 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs'),
          '-c',
          join(root, '.config/dependency-cruiser.cjs'),
          'server/src',
          'web/src',
        ],
        { cwd: tree, encoding: 'utf8' },
      );
      for (const [rule] of planted) expect(run.stdout, rule).toContain(rule);
      expect(run.status).not.toBe(0);
    } finally {
      rmSync(tree, { recursive: true, force: true });
    }
  });

  test('the real tree is read, not passed over', () => {
    const run = spawnSync(
      'npx',
      [
        'depcruise',
        '-c',
        '.config/dependency-cruiser.cjs',
        'server/src',
        'web/src',
        'shared-types/src',
      ],
      { cwd: root, encoding: 'utf8' },
    );
    expect(run.status, run.stdout).toBe(0);
    expect(Number(/\((\d+) modules/u.exec(run.stdout)?.[1] ?? 0)).toBeGreaterThan(200);
  });
});

test('every rule that is stated is proven by a test that names it', () => {
  const stated = new Set<string>();
  for (const file of [...files('server/src', /\.ts$/u), ...files('shared-types/src', /\.ts$/u)]) {
    for (const [, id] of readFileSync(file, 'utf8').matchAll(/\b([A-Z]{2}-\d+): /gu))
      if (id) stated.add(id);
  }
  const tests = files('tests', /\.test\.ts$/u)
    .map((f) => readFileSync(f, 'utf8'))
    .join('\n');
  const unproven = [...stated].filter(
    (id) => !new RegExp(`['"\`(][^\\n]*\\b${id}\\b`, 'u').test(tests),
  );
  expect(stated.size).toBeGreaterThan(40);
  expect(unproven).toEqual([]);
});

test('the top level holds only what it may', () => {
  const allowed =
    /^(README\.md|DEVELOPERS\.md|package\.json|package-lock\.json|tsconfig\.json|server|web|shared-types|tests|fixtures|\..*)$/u;
  expect(
    [...new Set(tracked.map((f) => f.split('/')[0] ?? ''))].filter((f) => !allowed.test(f)),
  ).toEqual([]);
});

test('dependencies are pinned to one version', () => {
  for (const file of [
    'package.json',
    'server/package.json',
    'web/package.json',
    'shared-types/package.json',
  ]) {
    const manifest = JSON.parse(readFileSync(join(root, file), 'utf8')) as Record<
      string,
      Record<string, string> | undefined
    >;
    const all = { ...manifest['dependencies'], ...manifest['devDependencies'] };
    expect(Object.entries(all).filter(([, version]) => !/^\d+\.\d+\.\d+$/u.test(version))).toEqual(
      [],
    );
  }
});

test('no source carries raw HTML, a registry host or a path of a machine', () => {
  const html = ['{', '@html'].join('');
  for (const file of tracked.filter(
    (f) =>
      /\.(ts|js|svelte|md|json|html|css)$/u.test(f) &&
      !f.startsWith('fixtures/') &&
      f !== 'package-lock.json' &&
      !f.startsWith('tests/architecture') &&
      !f.startsWith('.config'),
  )) {
    const text = readFileSync(join(root, file), 'utf8');
    expect(text.includes(html), file).toBe(false);
    expect(/registry\.npmjs|\/work\/main|\/root\//u.test(text), file).toBe(false);
  }
});
