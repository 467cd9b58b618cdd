import { expect, onTestFinished, test } from 'vitest';
import { startServer } from '../../server/src/cli/compose.ts';
import { readConfig } from '../../server/src/cli/config.ts';
import { UsageError } from '../../server/src/cli/read-flags.ts';
import { livePanel } from '../support/live-panel.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const served = async (more: readonly string[]) => {
  const directory = temporaryDirectory();
  const flags = ['--port', '0', '--data-dir', directory, '--log-level', 'error', ...more];
  const running = await startServer(readConfig(flags, {}), directory);
  let hurry = (): void => undefined;
  const hurried = new Promise<void>((resolve) => (hurry = resolve));
  let closed: Promise<void> | undefined;
  const close = () => (closed ??= running.close(hurried));
  onTestFinished(() => {
    hurry();
    return close();
  });
  return { ...running, close, hurry };
};

/** The sum of the samples of one name whose labels hold a text. */
const sample = (text: string, name: string, labels = ''): number =>
  text
    .split('\n')
    .filter((line) => line.startsWith(name) && line.includes(labels))
    .reduce((sum, line) => sum + Number(line.split(' ').at(-1)), 0);

test('OP-1: the figures count what is asked and kept, and name nobody, no evaluation and no task', async () => {
  const server = await served(['--metrics', '0']);
  const scrape = async () => (await fetch(server.metrics ?? '')).text();
  const before = await scrape();
  expect(sample(before, 'unhindered_workspaces ')).toBe(1);
  expect(sample(before, 'unhindered_store_trouble ')).toBe(0);
  const panel = await livePanel(server.url, server.signInLink ?? '');
  const { client } = await panel.join('reviewer', 'Ada Invented');
  await panel.moderator.onEvaluation({ type: 'start-round' });
  await client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await client.openSheet(1);
  sheet.set('chest-access', { answer: 3 });
  await sheet.saved();
  const text = await scrape();
  expect(sample(text, 'unhindered_message_seconds_count', 'type="start-round"')).toBe(1);
  expect(sample(text, 'unhindered_commit_seconds_count', 'outcome="kept"')).toBeGreaterThan(
    sample(before, 'unhindered_commit_seconds_count', 'outcome="kept"') + 5,
  );
  expect(sample(text, 'unhindered_http_seconds_count', 'POST /invitations/use')).toBe(1);
  expect(sample(text, 'unhindered_document_sockets ')).toBe(1);
  expect(sample(text, 'unhindered_documents_live ')).toBe(1);
  expect(sample(text, 'unhindered_panel_sockets ')).toBe(2);
  expect(text).toContain('process_cpu_seconds_total');
  for (const secret of [panel.evaluation, panel.panel, 'chest-access', 'Ada', 'Mo"', 'cookie']) {
    expect(text, secret).not.toContain(secret);
  }
  expect(text).not.toMatch(/\b(ev|pn|st|se|dc|ws|sy|in|dv)_[A-Za-z0-9_-]{22}/u);
});

test('OP-1: the figures are not at the panel’s address, and no page of a browser reads them', async () => {
  const server = await served(['--metrics', '0']);
  expect(await (await fetch(`${server.url}/metrics`)).text()).not.toContain('unhindered_');
  const at = server.metrics ?? '';
  for (const headers of [
    { origin: 'https://elsewhere.example' },
    { 'sec-fetch-site': 'cross-site' },
  ]) {
    expect((await fetch(at, { headers })).status).toBe(404);
  }
  expect((await fetch(at, { method: 'POST' })).status).toBe(404);
  expect((await fetch(at.replace('/metrics', '/'))).status).toBe(404);
});

test('OP-2: a server that was told to stop says so to load balancers, serves on, and then stops', async () => {
  const server = await served(['--drain', '900']);
  const ready = async () => {
    const response = await fetch(`${server.url}/readyz`);
    return { status: response.status, ...((await response.json()) as { why: string | null }) };
  };
  expect(await ready()).toMatchObject({ status: 200, ready: true, why: null });
  const panel = await livePanel(server.url, server.signInLink ?? '');
  await panel.join('reviewer', 'Ada (invented)');
  const closing = server.close();
  expect(await ready()).toMatchObject({ status: 503, ready: false });
  expect((await fetch(`${server.url}/healthz`)).status).toBe(200);
  await panel.moderator.onEvaluation({ type: 'start-round' });
  await panel.moderator.until('the round', (v) => v.head?.stage === 'sealed');
  server.hurry();
  await closing;
  await expect(fetch(`${server.url}/healthz`)).rejects.toThrow();
});

test('settings of the operator that are none are refused by name', () => {
  for (const [flag, name] of [
    ['--metrics', 'METRICS'],
    ['--drain', 'DRAIN'],
  ]) {
    expect(() => readConfig([flag ?? '', 'soon'], {})).toThrow(UsageError);
    expect(() => readConfig([], { [name ?? '']: 'soon' })).toThrow(name);
  }
  expect(readConfig(['--metrics', '[::1]:9480'], {}).metrics).toEqual({ host: '::1', port: 9480 });
  expect(readConfig([], { METRICS: '9480' }).metrics).toEqual({ host: '127.0.0.1', port: 9480 });
});
