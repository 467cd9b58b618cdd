import { expect, test } from 'vitest';
import { BOARD_ENTRIES, type BoardEntry } from '../../shared-types/src/index.ts';
import { FIRST_WORKSPACE, openFile } from '../../server/src/cli/open-store.ts';
import { protocolText } from '../../server/src/protocol/protocol-text.ts';
import type { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { findTexts, recordingProxy } from '../support/recording-proxy.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';
import { entryKey, FACE_MASK, failed, protocol, trial } from '../support/trials.ts';

const REASON = 'Talked through at the bench with the specimen in hand.';

/** The board of a seat, and how to put entries on it. */
const bench = async (client: SeatClient, seat: string) => {
  const board = await client.openDocument(client.view.me?.board ?? '');
  const put = (entry: BoardEntry): string => {
    const key = entryKey(seat);
    board.doc.getMap(BOARD_ENTRIES).set(key, JSON.stringify(entry));
    return key;
  };
  return { board, put };
};

test('BO-1 TR-2 GA-3: trials made without a line arrive in a sealed round, correct each other, and back a decision', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ria = await p.join('recorder', 'Ria');
  const ada = await p.join('reviewer', 'Ada');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const { board, put } = await bench(ria.client, ria.seat);
  const first = put(failed({ seconds: '170' }));
  await board.saved();
  await ada.client.until('the trial', (v) => v.evidence?.[FACE_MASK]?.valid === 1);
  board.provider.disconnect();
  put(failed({ replaces: first }));
  const dropped = put(trial({ seconds: '2' }));
  put({
    kind: 'trial-void',
    task: FACE_MASK,
    trial: dropped,
    reason: 'The tool fell.',
    at: '2026-03-02T09:05:00.000Z',
  });
  put(failed({ operator: 'K2' }));
  await board.reconnect();
  await board.saved();
  await ada.client.until('all trials', (v) => v.trials?.[FACE_MASK]?.length === 4);
  expect(ada.client.view.evidence?.[FACE_MASK]).toMatchObject({
    valid: 2,
    done: 0,
    criterion: { status: 'met', met: 2, judged: 2 },
    beside: { voided: 1 },
  });
  expect(ada.client.view.trials?.[FACE_MASK]?.[0]?.entry.seconds).toBe('170');

  const sheet = await ada.client.openSheet(1);
  sheet.set(FACE_MASK, { answer: 1 });
  await sheet.saved();
  await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  await p.moderator.until('the opening', (v) => v.tasks?.[FACE_MASK] !== undefined);
  expect(p.moderator.view.tasks?.[FACE_MASK]).toMatchObject({
    flags: [{ kind: 'evidence-against-rating', seats: [ada.seat] }],
    gate: { trials: 'met', owed: true },
  });
  const gate = { type: 'decide-gate', task: FACE_MASK, confirm: true, reason: REASON } as const;
  await p.moderator.onEvaluation(gate);
  const settle = { type: 'settle-task', task: FACE_MASK, how: 'leave-open' } as const;
  await p.moderator.onEvaluation({ ...settle, value: null, reason: REASON });
  await p.moderator.onEvaluation({ type: 'lock', meaning: 'We stand by this.' });
  await ada.client.until('the lock', (v) => v.head?.stage === 'locked');
  const closed = new Promise<number>((resolve) => {
    board.provider.on('closed', ({ code }: { code: number }) => resolve(code));
  });
  put(trial());
  expect(await closed).toBe(4409);

  const response = await fetch(`${server.url}/api/evaluations/${p.evaluation}/bundle`, {
    headers: { cookie: ada.client.cookie },
  });
  const checked = verifyBundle(new Uint8Array(await response.arrayBuffer()));
  expect(checked.findings).toEqual([]);
  expect(checked.facts?.result).toMatchObject({
    verdict: { kind: 'care-was-blocked', tasks: [FACE_MASK] },
    evidence: [{ task: FACE_MASK, valid: 2, done: 0, criterion: 'met' }],
  });
});

test('TR-1 TR-5: a trial beyond the limits, or by somebody who only looks on, is refused', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ria = await p.join('recorder', 'Ria');
  const olu = await p.join('observer', 'Olu');
  const beyond = { measures: [{ measure: 'rpe', value: '11', counts: null }] };
  for (const [who, entry] of [
    [ria, trial(beyond)],
    [olu, trial()],
  ] as const) {
    const { board, put } = await bench(who.client, who.seat);
    await board.saved();
    const closed = new Promise<number>((resolve) => {
      board.provider.on('closed', ({ code }: { code: number }) => resolve(code));
    });
    put(entry);
    expect(await closed).toBe(4403);
  }
  expect(p.moderator.view.trials).toEqual({});
});

test('SE-12: under "evidence after the rating" no byte of a trial reaches reviewers, observers or the wall before the opening', async () => {
  const directory = temporaryDirectory();
  const opened = openFile(directory);
  const store = opened.store(FIRST_WORKSPACE);
  const after = { ...protocol, version: '1.0.1', evidenceBeforeRating: false };
  const { id, version } = after;
  await store.commit({ protocols: [{ id, version, ...protocolText(after) }] });
  opened.close();
  const server = await liveServer(directory);
  const wire = {
    ada: await recordingProxy(server.url),
    olu: await recordingProxy(server.url),
    wall: await recordingProxy(server.url),
    ria: await recordingProxy(server.url),
  };
  const p = await livePanel(server.url, server.signInLink, { id, version });
  const ada = await p.join('reviewer', 'Ada', wire.ada.url);
  const olu = await p.join('observer', 'Olu', wire.olu.url);
  const wall = await p.join('wall', '', wire.wall.url);
  const ria = await p.join('recorder', 'Ria', wire.ria.url);
  const { board, put } = await bench(ria.client, ria.seat);
  const CANARIES = ['canary-note-heron-8841', 'HERON-8842', '79173.317', '17.3942658117'];
  const [note = '', operator = '', seconds = '', effort = ''] = CANARIES;
  const marked = failed({ note, operator, seconds });
  // Before the round, and while it is sealed.
  put(marked);
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  put(failed({ operator, measures: [{ measure: 'theta_max', value: effort, counts: null }] }));
  await board.saved();
  await ria.client.until('the trials', (v) => v.trials?.[FACE_MASK]?.length === 2);
  await p.moderator.until('the trials', (v) => v.evidence?.[FACE_MASK]?.valid === 2);

  // Curious people ask for the board by its id, which they are not told.
  const boardId = ria.client.view.me?.board ?? '';
  for (const { client } of [ada, olu, wall]) {
    expect(client.view.me?.board).toBe('');
    await expect(client.openDocument(boardId)).rejects.toThrow(/no such document/u);
    await client.watch(p.evaluation);
    expect(client.view.trials).toEqual({});
    expect(client.view.evidence).toEqual({});
  }
  const traces = [...CANARIES, boardId, `trials/${FACE_MASK}`, `evidence/${FACE_MASK}`];
  for (const name of ['ada', 'olu', 'wall'] as const) {
    const bytes = wire[name].connections();
    expect(bytes.length, name).toBeGreaterThan(1);
    expect(findTexts(bytes, traces), name).toEqual([]);
  }
  // The search finds what is there: the recorder was sent it all.
  expect(findTexts(wire.ria.connections(), [note, boardId])).toHaveLength(2);

  const sheet = await ada.client.openSheet(1);
  sheet.set(FACE_MASK, { answer: 1 });
  await sheet.saved();
  await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  for (const [name, { client }] of Object.entries({ ada, olu, wall })) {
    await client.until('the evidence', (v) => v.evidence?.[FACE_MASK]?.valid === 2);
    expect(client.view.me?.board, name).toBe(boardId);
    expect(findTexts(wire[name as 'ada'].connections(), [note]), name).not.toEqual([]);
  }
});
