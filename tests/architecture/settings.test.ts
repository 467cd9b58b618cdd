import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Prometheus } from '../../server/src/adapters/prometheus.ts';
import { readConfig } from '../../server/src/cli/config.ts';

const root = join(import.meta.dirname, '../..');
const read = (file: string): string => readFileSync(join(root, file), 'utf8');

const matches = (text: string, pattern: RegExp): string[] => [
  ...new Set([...text.matchAll(pattern)].map(([, name = '']) => name)),
];

const sources = readdirSync(join(root, 'server/src'), { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => ({ name, text: read(join('server/src', name)) }));
const commands = sources.filter(({ name }) => name.startsWith('cli/'));
const runbook = read('server/RUNBOOK.md');
const settings = /\n## Settings\n(.*?)\n## /su.exec(runbook)?.[1] ?? '';
const config = read('server/src/cli/config.ts');

/** Options of `parseArgs` that a source names. */
const optionsIn = (text: string): string[] =>
  matches(text, /^\s+'?([a-z][a-z-]*)'?: \{ type: '(?:string|boolean)'/gmu);

test('every variable of the environment that the program reads is in the configuration reference', () => {
  const all = sources.map(({ text }) => text).join('\n');
  const names = matches(all, /(?:process\.env|environment)(?:\.|\[')([A-Z_]+)/gu);
  expect(names).toEqual(expect.arrayContaining(['PORT', 'STORE', 'DATA_DIR', 'MAX_CLIP_MB']));
  for (const name of names) expect(settings, name).toContain(`\`${name}\``);
});

test('every flag of the server is in the configuration reference, and every one named there is read', () => {
  const flags = optionsIn(config);
  expect(flags.length).toBeGreaterThan(14);
  for (const flag of flags) expect(settings, flag).toContain(`\`--${flag}\``);
  const named = matches(settings, /^\| .*?`--([a-z-]+)`/gmu);
  for (const flag of named) expect(flags, flag).toContain(flag);
  for (const name of matches(settings, /\| `([A-Z_]+)` +\|/gu)) {
    expect(
      sources.some(({ text }) => text.includes(`'${name}'`)),
      name,
    ).toBe(true);
  }
});

test('every option of every command is in the README, the runbook or the help of the program', () => {
  const words = [read('README.md'), runbook, read('server/src/cli/cli.ts')].join('\n');
  const options = commands.flatMap(({ text }) => optionsIn(text));
  expect(options).toEqual(expect.arrayContaining(['sheets', 'seen', 'scale', 'bundle']));
  for (const option of options) expect(words, option).toMatch(new RegExp(`--${option}\\b`, 'u'));
});

test('the defaults that the reference names are the ones in force', () => {
  const row = (flag: string): string[] =>
    (settings.split('\n').find((line) => line.startsWith(`| \`--${flag}\``)) ?? '')
      .split('|')
      .map((cell) => cell.trim().replaceAll('`', ''));
  const byDefault = readConfig([], {});
  const { photo, clip } = byDefault.media;
  const inForce: Record<string, unknown> = {
    host: byDefault.host,
    port: byDefault.port,
    'data-dir': byDefault.dataDirectory,
    drain: byDefault.drain,
    'log-level': byDefault.logLevel,
    'max-photo-mb': photo / 1_000_000,
    'max-clip-mb': clip / 1_000_000,
  };
  for (const [flag, value] of Object.entries(inForce))
    expect(row(flag)[3], flag).toBe(String(value));
});

test('every figure that the runbook names for an alarm is one that the server gives', async () => {
  const nothing = { workspaces: 0, readOnly: 0, trouble: false, bus: false };
  const sockets = { panelSockets: 0, documentSockets: 0, documents: 0 };
  const { body } = await new Prometheus(() => ({ ...nothing, ...sockets })).text();
  const named = matches(runbook, /`((?:unhindered|nodejs)_[a-z0-9_]+)`/gu);
  expect(named.length).toBeGreaterThan(4);
  for (const name of named) expect(body, name).toContain(`# TYPE ${name} `);
});
