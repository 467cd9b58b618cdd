import { createHash } from 'node:crypto';
import { request } from 'node:http';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { expect, onTestFinished, test } from 'vitest';
import { readSeries } from '../../server/src/measures/read-series.ts';
import {
  previewSeries,
  type SeriesImport,
  type SeriesQuestion,
} from '../../shared-types/src/index.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { checkSeries, draftFrom } from '../../web/src/state/series-draft.ts';
import { manikinFile } from '../support/manikin-file.ts';
import { MOTION_MAPPING, motionFile } from '../support/motion-file.ts';

const MOTION: SeriesQuestion = { kind: 'motion', mapping: MOTION_MAPPING };
const TEXT = [...motionFile(500)].join('');

const panel = async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const address = (evaluation: string, as: unknown) =>
    `${server.url}/api/evaluations/${evaluation}/series?as=${encodeURIComponent(JSON.stringify(as))}`;
  const send = async (
    cookie: string,
    body: string | Uint8Array,
    as: unknown = MOTION,
    type = 'text/csv',
    evaluation = p.evaluation,
  ) => {
    const init = { method: 'POST', headers: { cookie, 'content-type': type }, body };
    const response = await fetch(address(evaluation, as), init as RequestInit);
    return { status: response.status, body: (await response.json()) as unknown };
  };
  return { server, p, address, send };
};

test('SR-1: who enters trials has a series read; nobody else, and no other panel', async () => {
  const { server, p, send } = await panel();
  const statuses: Record<string, number> = {};
  for (const role of ['recorder', 'operator', 'reviewer', 'observer', 'wall'] as const) {
    const { client } = await p.join(role, role);
    statuses[role] = (await send(client.cookie, TEXT)).status;
  }
  statuses['moderator'] = (await send(p.moderator.cookie, TEXT)).status;
  statuses['nobody'] = (await send('', TEXT)).status;
  const made = await p.moderator.must({
    on: 'workspace',
    command: { type: 'create-panel', title: 'Far', occasion: '', moderatorName: 'Mo' },
  });
  if (made?.kind !== 'panel') throw new Error('no panel');
  const ask = { type: 'invite', role: 'recorder', label: '', by: 'link', until: null } as const;
  const asked = await p.moderator.onPanel(made.panel, { ...ask, seat: null, open: true });
  if (asked?.kind !== 'invitation') throw new Error('no invitation');
  const far = await SeatClient.join(server.url, asked.secret, 'Far');
  onTestFinished(() => far.close());
  statuses['another panel'] = (await send(far.cookie, TEXT)).status;
  statuses['as JSON'] = (await send(p.moderator.cookie, TEXT, MOTION, 'application/json')).status;
  statuses['as a form'] = (await send(p.moderator.cookie, TEXT, MOTION, 'text/plain')).status;
  expect(statuses).toEqual({
    recorder: 200,
    operator: 200,
    reviewer: 200,
    observer: 403,
    wall: 403,
    moderator: 200,
    nobody: 404,
    'another panel': 404,
    'as JSON': 400,
    'as a form': 400,
  });
});

test('SR-3: the answer is the hash of the bytes, the figures as read here, and their measures', async () => {
  const { p, send } = await panel();
  const { status, body } = await send(p.moderator.cookie, TEXT);
  expect(status).toBe(200);
  const here = readSeries(MOTION);
  here.push(TEXT);
  const answer = body as SeriesImport;
  expect(answer.read).toEqual(JSON.parse(JSON.stringify(here.end())));
  expect(answer.hash).toBe(createHash('sha256').update(TEXT).digest('hex'));
  expect(answer.bytes).toBe(Buffer.byteLength(TEXT));
  expect(answer.values.map((v) => v.measure)).toContain('theta_max');
  expect(answer.software).toMatch(/^unhindered \d/u);
  expect(answer.thresholds['theta_max']).toMatchObject({ published: false, label: 'house value' });
});

test('ME-1: no threshold from memory alone stands beside a figure', async () => {
  const { p, send } = await panel();
  const preview = previewSeries(manikinFile());
  const { question } = checkSeries({ ...draftFrom(preview), from: '0', to: '40' });
  const { body } = await send(p.moderator.cookie, manikinFile(), question);
  const { values, thresholds } = body as SeriesImport;
  expect(values.map((v) => v.measure)).toEqual(
    expect.arrayContaining(['cc_rate', 'ccf', 'vt_ml', 'vent_rate']),
  );
  expect(thresholds['cc_rate']).toMatchObject({ published: true, text: '100 to 120' });
  for (const measure of ['ccf', 'vt_ml', 'vent_rate'])
    expect(thresholds).not.toHaveProperty(measure);
});

test('SR-4: hostile files and mappings are refused with the place and the remedy', async () => {
  const { p, send } = await panel();
  const { cookie } = p.moderator;
  const line = (n: number, cells: string): string =>
    TEXT.split('\n')
      .with(n - 1, cells)
      .join('\n');
  const faults = async (text: string): Promise<unknown> =>
    ((await send(cookie, text)).body as SeriesImport).read;
  const at = (place: string) => ({
    ok: false,
    faults: { total: 1, kept: [{ place, remedy: expect.stringMatching(/\./u) as unknown }] },
  });
  const good = '1,0,0,0,1,0,0,0';
  expect(await faults(line(4, `0.02,Infinity,0,0,0,1,0,0,0`))).toMatchObject(
    at('line 4, column head w'),
  );
  expect(await faults(line(4, `0.01,${good}`))).toMatchObject(at('line 4, column time'));
  expect(await faults(line(4, '0.02,1,0'))).toMatchObject({ ok: false, faults: { total: 1 } });
  expect(await faults(`\uFEFF${TEXT}`)).toMatchObject({ ok: true, rows: 500 });
  expect(await faults(line(4, '0.02,NaN,,,,1,0,0,0'))).toMatchObject({
    ok: true,
    lost: { total: 1 },
  });
  expect(await faults(TEXT.replaceAll(',', ';'))).toMatchObject({ ok: false });
  const binary = await send(cookie, Uint8Array.from([0x89, 0x50, 0xff, 0xfe]));
  expect(binary).toMatchObject({ status: 400, body: { error: { code: 'bad-input' } } });
  expect(JSON.stringify(binary.body)).toContain('save it as CSV UTF-8');
  const mapping = { ...MOTION_MAPPING, rate: 0 };
  expect(await send(cookie, TEXT, { kind: 'motion', mapping })).toMatchObject({ status: 400 });
  expect(await send(cookie, TEXT, 'motion')).toMatchObject({ status: 400 });
});

test('SR-2: a cut upload frees its place, a third file waits, and the server answers meanwhile', async () => {
  const { server, p, address, send } = await panel();
  const headers = { cookie: p.moderator.cookie, 'content-type': 'text/csv' };
  const refused: (number | undefined)[] = [];
  const open = () => {
    const upload = request(address(p.evaluation, MOTION), { method: 'POST', headers });
    upload.on('error', () => undefined);
    upload.on('response', (response) => refused.push(response.statusCode));
    onTestFinished(() => void upload.destroy());
    upload.write(TEXT);
    return upload;
  };
  // None of the three files ends: two are being read, whichever came first.
  const uploads = [open(), open(), open()];
  await expect.poll(() => refused, { timeout: 10_000 }).toEqual([503]);
  for (const upload of uploads) upload.destroy();
  await expect
    .poll(async () => (await send(headers.cookie, TEXT)).status, { timeout: 10_000 })
    .toBe(200);
  const delay = monitorEventLoopDelay({ resolution: 1 });
  delay.enable();
  const large = send(headers.cookie, [...motionFile(20_000)].join(''));
  expect((await fetch(`${server.url}/api/me`, { headers })).ok).toBe(true);
  expect((await large).body).toMatchObject({ read: { ok: true, rows: 20_000 } });
  delay.disable();
  process.stdout.write(`event loop at most ${(delay.max / 1e6).toFixed(0)} ms\n`);
});
