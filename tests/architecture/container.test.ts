import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { readConfig } from '../../server/src/cli/config.ts';

const root = join(import.meta.dirname, '../..');
const read = (file: string): string => readFileSync(join(root, file), 'utf8');
const containerfile = read('server/container/Containerfile');
const compose = read('server/container/compose.yaml');
const balancer = read('server/container/haproxy.cfg');
const manifest = JSON.parse(read('package.json')) as {
  scripts: Record<string, string>;
  workspaces: string[];
};

/** Instructions of the container file by their word, a continued line as one. */
const instructions = (word: string): string[] =>
  containerfile
    .replaceAll(/\\\n\s*/gu, '')
    .split('\n')
    .flatMap((line) => (line.startsWith(`${word} `) ? [line.slice(word.length + 1)] : []));

/** Values of a flat key anywhere in the compose file, quotes taken off. */
const values = (key: string): string[] =>
  [...compose.matchAll(new RegExp(`^\\s*${key}: (.+)$`, 'gmu'))].map(([, text = '']) => text);

// No container engine builds these files in CI: what they name is held to what there is, and the last stage is played
// without one by live/container-file.
describe('the container file', () => {
  test('copies what is in the repository, every package among it', () => {
    const own = instructions('COPY').filter((text) => !text.startsWith('--from='));
    const copied = own.flatMap((text) => text.split(' ').slice(0, -1));
    expect(copied.length).toBeGreaterThan(6);
    for (const path of copied) expect(existsSync(join(root, path)), path).toBe(true);
    for (const name of manifest.workspaces) {
      expect(copied).toContain(name);
      expect(copied, 'npm ci needs it before the sources').toContain(`${name}/package.json`);
    }
  });

  test('takes from its first stage what the program needs to run, from where that puts it', () => {
    const taken = instructions('COPY').filter((text) => text.startsWith('--from=build '));
    expect(instructions('WORKDIR')).toEqual(['/app', '/app']);
    const paths = taken.flatMap((text) => text.split(' ').slice(1, -1));
    expect(paths.map((path) => path.replace('/app/', ''))).toEqual([
      'package.json',
      'package-lock.json',
      'node_modules',
      ...manifest.workspaces,
    ]);
  });

  test('runs scripts and a program that there are, with settings that the program knows', () => {
    for (const [, script = ''] of containerfile.matchAll(/npm run ([\w:-]+)/gu)) {
      expect(manifest.scripts).toHaveProperty([script]);
    }
    const [entry = ''] = instructions('ENTRYPOINT');
    const [node, program = ''] = JSON.parse(entry) as string[];
    expect(node).toBe('node');
    expect(existsSync(join(root, program)), program).toBe(true);
    expect(read('server/src/cli/cli.ts')).toContain(
      `\n  ${(JSON.parse(instructions('CMD').at(-1) ?? '[]') as string[])[0] ?? ''}: async`,
    );
    const environment = Object.fromEntries(
      (instructions('ENV')[0] ?? '').split(' ').map((pair) => pair.split('=') as [string, string]),
    );
    const config = readConfig([], environment);
    expect(config).toMatchObject({ host: '0.0.0.0', port: 4780, dataDirectory: '/data' });
    expect(instructions('EXPOSE')[0]?.split(' ')).toContain(environment['PORT']);
    expect(containerfile).toContain(`127.0.0.1:${environment['PORT'] ?? ''}/healthz`);
    expect(containerfile.match(/FROM node:(\d+)/u)?.[1]).toBe('20');
  });
});

describe('the compose file', () => {
  test('starts the program with flags and settings that it knows', () => {
    const command = /command:\s*\n?\s*(\[[^\]]*\])/u.exec(compose)?.[1] ?? '';
    const words = [...command.matchAll(/'([^']*)'/gu)].map(([, word = '']) => word);
    expect(words[0]).toBe('serve');
    const flags = words.slice(1).map((w) => (w.startsWith('${') ? 'lab.example' : w));
    const block = /environment: &environment\n((?: {4}\S.*\n)+)/u.exec(compose)?.[1] ?? '';
    const environment = Object.fromEntries(
      [...block.matchAll(/^ {4}(\w+): '?([^'\n]+)'?$/gmu)].map(([, name = '', value = '']) => [
        name,
        value.replaceAll(/\$\{[^}]*\}/gu, 'secret'),
      ]),
    );
    expect(Object.keys(environment)).toEqual(['STORE', 'BUS', 'METRICS', 'DRAIN']);
    expect(readConfig(flags, environment)).toMatchObject({
      proxy: true,
      names: ['lab.example'],
      bus: environment['BUS'],
      drain: 5,
    });
    for (const name of Object.keys(environment)) {
      expect(read('server/RUNBOOK.md'), name).toContain(`\`${name}\``);
    }
  });

  test('has every server looked at as its image is, with keys and files that all share', () => {
    const check = /"fetch[^"]*"/u.exec(instructions('HEALTHCHECK')[0] ?? '')?.[0] ?? 'none';
    expect(compose.replaceAll(/\s+/gu, ' ')).toContain(`[ 'CMD', 'node', '-e', ${check}, ]`);
    const shared = /^ {2}volumes: \[(.*)\]$/mu.exec(compose)?.[1] ?? '';
    const made = instructions('RUN').join(' ');
    for (const [, name = '', path = ''] of shared.matchAll(/'(\w+):([\w/]+)'/gu)) {
      expect(compose).toMatch(new RegExp(`^volumes:\\n(?: {2}\\w+:\\n)*? {2}${name}:$`, 'mu'));
      // A volume takes its owner from the folder of the image: it has to be there.
      expect(made, path).toContain(` ${path} `);
    }
    expect(shared.match(/keys|media/gu)).toHaveLength(4);
  });

  test('names files that there are, and servers that the balancer and the database know', () => {
    expect(
      existsSync(join(root, 'server/container', '../..', 'server/container/Containerfile')),
    ).toBe(true);
    expect(values('build').join()).toContain('dockerfile: server/container/Containerfile');
    for (const [, file = ''] of compose.matchAll(/- \.\/([\w.]+):/gu)) {
      // The certificate is the operator's own.
      if (file !== 'lab.pem')
        expect(existsSync(join(root, 'server/container', file)), file).toBe(true);
    }
    const servers = [...balancer.matchAll(/^ {2}server (\w+) (\w+):4780/gmu)];
    expect(servers.map(([, name]) => name)).toEqual(['one', 'two', 'three']);
    for (const [, name = '', at] of servers) {
      expect(at).toBe(name);
      expect(compose).toContain(`\n  ${name}:\n    <<: *server`);
    }
    for (const [, host = ''] of compose.matchAll(/(?:@|redis:\/\/)(\w+):\d+/gu)) {
      expect(compose, host).toContain(`\n  ${host}:\n    image:`);
    }
  });
});
