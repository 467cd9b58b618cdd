import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { heldRemarkKey, SHEET_ROOT } from '../../shared-types/src/index.ts';
import type { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { findTexts, recordingProxy } from '../support/recording-proxy.ts';

/** Tasks that only Ben rates, and tasks that only Ada rates: whose key turns up tells whose sheet it is from. */
const BENS = ['chest-access', 'aed-pads'];
const ADAS = 'torso-removal';

const CANARIES = [
  'canary-note-heron-7731',
  'canary-reason-heron-7732',
  'canary-critical-heron-7733',
  'canary-remark-heron-7734',
];

const quietly = async (work: Promise<unknown>): Promise<void> => {
  await work.catch(() => undefined);
};

/** Everything a curious person could ask for before the opening, in the hope of an answer that says too much. */
const pry = async (client: SeatClient, evaluation: string, strange: string): Promise<void> => {
  const headers = { cookie: client.cookie };
  for (const path of [
    '/api/me',
    `/api/evaluations/${evaluation}/bundle`,
    '/api/protocols/emergency-access/1.0.0',
  ]) {
    await (await fetch(`${client.url}${path}`, { headers })).arrayBuffer();
  }
  const opened = await client.openDocument(strange).catch(() => undefined);
  await opened?.saved();
  await quietly(client.watch(evaluation));
  for (const type of ['start-round', 'finish-sheet', 'adopt-undisputed'] as const) {
    await client.send({ on: 'evaluation', evaluation, command: { type } });
  }
  const open = { type: 'open-round', withMissing: false } as const;
  await client.send({ on: 'evaluation', evaluation, command: open });
  const lock = { type: 'lock', meaning: 'Now, please.' } as const;
  await client.send({ on: 'evaluation', evaluation, command: lock });
};

test('SE-1: before the opening no byte to anybody else tells what Ben rated, wrote, or how much of it', async () => {
  const server = await liveServer();
  const wire = {
    moderator: await recordingProxy(server.url),
    ada: await recordingProxy(server.url),
    ben: await recordingProxy(server.url),
    observer: await recordingProxy(server.url),
    wall: await recordingProxy(server.url),
  };
  const p = await livePanel(wire.moderator.url, server.signInLink);
  const ada = (await p.join('reviewer', 'Ada', wire.ada.url)).client;
  const ben = (await p.join('reviewer', 'Ben', wire.ben.url)).client;
  const observer = (await p.join('observer', 'Olu', wire.observer.url)).client;
  const wall = (await p.join('wall', '', wire.wall.url)).client;
  const others = { moderator: p.moderator, ada, observer, wall };
  await p.moderator.onEvaluation({ type: 'start-round' });
  for (const c of [ada, ben]) await c.until('the round', (v) => v.me?.sheets.length === 1);
  const bensSheet = ben.view.me?.sheets[0]?.document ?? '';

  const boards = [];
  for (const client of Object.values(others)) {
    boards.push(await client.openDocument(client.view.me?.board ?? ''));
  }
  const own = await ada.openSheet(1);
  own.set(ADAS, { answer: 2 });
  await own.saved();

  const sheet = await ben.openSheet(1);
  const steps = [5, 0, 4, 1];
  for (const step of steps) for (const task of BENS) sheet.set(task, { answer: step });
  sheet.set('chest-access', { answer: 5, critical: CANARIES[2], note: CANARIES[0] });
  sheet.set('aed-pads', { answer: 'not-applicable', reason: CANARIES[1] });
  const remark = { task: 'chest-access', text: CANARIES[3], at: '2026-03-02T09:00:00.000Z' };
  const key = heldRemarkKey('A'.repeat(22));
  sheet.doc.getMap(SHEET_ROOT).set(key, JSON.stringify(remark));
  await sheet.saved();
  for (const client of Object.values(others)) await pry(client, p.evaluation, bensSheet);
  sheet.close();
  await ben.onEvaluation({ type: 'finish-sheet' });
  await p.moderator.until('the word', (v) => v.seats?.some((s) => s.finished === true) ?? false);

  const traces = [
    ...CANARIES,
    ...BENS.map((task) => `${task}/answer`),
    bensSheet,
    `"tasks/`,
    '"step":',
    '"median":',
    '"unrated":',
  ];
  const before: Record<string, string[]> = {};
  for (const name of ['moderator', 'ada', 'observer', 'wall'] as const) {
    const bytes = wire[name].connections();
    expect(bytes.length, name).toBeGreaterThan(2);
    before[name] = findTexts(bytes, traces);
  }
  expect(before).toEqual({ moderator: [], ada: [], observer: [], wall: [] });
  // Other reviewers see nobody's word either.
  expect(ada.view.seats?.every((s) => s.finished === null)).toBe(true);
  // Ben's own device got his sheet back: the search finds what is there.
  const again = await ben.openSheet(1);
  await again.saved();
  expect(findTexts(wire.ben.connections(), CANARIES)).not.toEqual([]);
  // Nor does the database file tell before the opening.
  const files = ['unhindered.sqlite', 'unhindered.sqlite-wal'].map((f) =>
    readFileSync(join(server.directory, f)),
  );
  expect(findTexts(files, [...CANARIES, ...BENS.map((task) => `${task}/answer`)])).toEqual([]);

  await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  for (const name of ['moderator', 'ada', 'observer', 'wall'] as const) {
    await others[name].until('the opening', (v) => (v.remarks ?? []).length === 1);
    const found = findTexts(wire[name].connections(), CANARIES);
    expect(found, name).toEqual(CANARIES.map((c) => `${c} (plain)`));
  }
});

test('SE-1: what is sent to others is the same, byte for byte, whether Ben rates 0 or 5', async () => {
  const sizes: number[][] = [];
  for (const step of [0, 5]) {
    const server = await liveServer();
    const p = await livePanel(server.url, server.signInLink);
    const wire = await recordingProxy(server.url);
    const ada = (await p.join('reviewer', 'Ada', wire.url)).client;
    const ben = (await p.join('reviewer', 'Ben')).client;
    await p.moderator.onEvaluation({ type: 'start-round' });
    await ben.until('the round', (v) => v.me?.sheets.length === 1);
    await ada.until('the round', (v) => v.me?.sheets.length === 1);
    await expect.poll(() => ada.view.seats?.filter((s) => s.online).length).toBe(3);
    const quiet = wire.connections().map((c) => c.length);
    const sheet = await ben.openSheet(1);
    for (let i = 0; i < 12; i++) sheet.set('chest-access', { answer: i % 2 === 0 ? 3 : step });
    await sheet.saved();
    // A command's answer comes after everything that was pushed before it.
    await ada.send({
      on: 'evaluation',
      evaluation: p.evaluation,
      command: { type: 'start-round' },
    });
    sizes.push(wire.connections().map((c, i) => c.length - (quiet[i] ?? 0)));
  }
  expect(sizes[0]).toEqual(sizes[1]);
});
