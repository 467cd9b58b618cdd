import { io } from 'socket.io-client';
import { expect, onTestFinished, test } from 'vitest';
import {
  BOARD_ENTRIES,
  type PanelView,
  type Role,
  type SlicesMessage,
  type WatchAnswer,
} from '../../shared-types/src/index.ts';
import type { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { BRIEFING, INCIDENT, LEFT_OUT, MEASURES } from '../support/safety.ts';
import { entryKey, FACE_MASK, failed, trial } from '../support/trials.ts';

const REASON = 'Talked through at the bench with the specimen in hand.';

/** A device that follows the panel itself, as every browser does, whatever screen it shows. */
const follow = async (client: SeatClient, panel: string) => {
  const socket = io(client.url, {
    path: '/live',
    transports: ['websocket'],
    extraHeaders: { cookie: client.cookie },
    forceNew: true,
  });
  onTestFinished(() => void socket.close());
  let view: PanelView | undefined;
  let wake = (): void => undefined;
  const take = (slices: Record<string, unknown>): void => {
    view = (slices['view'] as PanelView | undefined) ?? view;
    wake();
  };
  socket.on('slices', (m: SlicesMessage) => {
    if (m.of === panel) take(m.slices);
  });
  const answer = (await socket.emitWithAck('watch', { on: 'panel', panel })) as WatchAnswer;
  if (!answer.ok) throw new Error(answer.rejection.message);
  take(answer.slices);
  return async (fits: (view: PanelView) => boolean): Promise<PanelView> => {
    while (!view || !fits(view)) {
      await new Promise<void>((resolve) => {
        wake = resolve;
      });
    }
    return view;
  };
};

test('SD-1 SD-2: a stop reaches every device of five people, in the evaluation and on the panel, and so does its end', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const roles: Role[] = ['reviewer', 'recorder', 'operator', 'observer', 'wall'];
  const people = new Map<Role, { client: SeatClient; seat: string }>();
  for (const role of roles) people.set(role, await p.join(role, role));
  const clients = [p.moderator, ...[...people.values()].map((x) => x.client)];
  const devices = await Promise.all(clients.map((client) => follow(client, p.panel)));
  const as = (role: Role) => {
    const who = people.get(role);
    if (!who) throw new Error(`no ${role}`);
    return who;
  };
  await p.moderator.onEvaluation({ type: 'start-round' });
  for (const role of ['observer', 'wall'] as const) {
    const pressed = as(role).client.onPanel(p.panel, { type: 'stop-everyone', reason: null });
    await expect(pressed).rejects.toThrow('role-may-not');
  }
  await as('operator').client.onPanel(p.panel, { type: 'stop-everyone', reason: 'A tool broke.' });
  for (const device of devices) {
    const { stop } = await device((v) => v.stop !== null);
    expect(stop).toMatchObject({ name: 'operator', role: 'operator', reason: 'A tool broke.' });
  }
  for (const client of clients) {
    await client.until('the stop', (v) => v.safety?.stops.at(-1)?.resumed === null);
    expect(client.view.safety?.stops).toHaveLength(1);
  }
  const open = p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  await expect(open).rejects.toThrow('everyone-stopped');
  const early = as('reviewer').client.onPanel(p.panel, {
    type: 'resume-everyone',
    measures: MEASURES,
  });
  await expect(early).rejects.toThrow('role-may-not');
  await p.moderator.onPanel(p.panel, { type: 'resume-everyone', measures: MEASURES });
  for (const device of devices) {
    const { stop } = await device((v) => v.stop?.resumed != null);
    expect(stop?.resumed?.measures).toBe(MEASURES);
  }
  for (const client of clients) {
    await client.until('the end', (v) => v.safety?.stops.at(-1)?.resumed != null);
  }
});

test('SD-2 SD-5: trials that arrive while all stand still are kept, a model’s too who has left; the bundle holds', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const { client: operator, seat } = await p.join('operator', 'Oz');
  const { client: ada } = await p.join('reviewer', 'Ada');
  await ada.onPanel(p.panel, { type: 'acknowledge-briefing', text: BRIEFING });
  await p.moderator.onPanel(p.panel, { type: 'record-consent', model: 'M1', written: true });
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.until('the round', (v) => v.me?.sheets.length === 1);
  const board = await operator.openDocument(operator.view.me?.board ?? '');
  await board.saved();
  const entries = board.doc.getMap(BOARD_ENTRIES);
  // Made without a line, before it was known that everyone had stopped and that the model had left.
  board.provider.disconnect();
  const [first, second] = [entryKey(seat), entryKey(seat)];
  entries.set(first, JSON.stringify(failed({ model: 'M1' })));
  entries.set(second, JSON.stringify(trial()));
  await ada.onPanel(p.panel, { type: 'stop-everyone', reason: null });
  await ada.onPanel(p.panel, { type: 'withdraw-consent', model: 'M1' });
  await board.reconnect();
  await board.saved();
  await p.moderator.until('both', (v) => v.trials?.[FACE_MASK]?.length === 2);
  expect(p.moderator.view.trials?.[FACE_MASK]?.[0]?.withdrew).toMatchObject({ counts: true });
  expect(p.moderator.view.evidence?.[FACE_MASK]?.valid).toBe(2);
  const decision = { type: 'decide-model-trials', model: 'M1', count: false } as const;
  await p.moderator.onEvaluation({ ...decision, reason: LEFT_OUT });
  await p.moderator.onEvaluation({ type: 'note-incident', note: { ...INCIDENT, trial: first } });
  await ada.until('the decision', (v) => v.evidence?.[FACE_MASK]?.valid === 1);
  expect(ada.view.safety?.briefing.acknowledged).toHaveLength(1);
  expect(ada.view.safety?.briefing.owed).toContain(seat);
  await p.moderator.onPanel(p.panel, { type: 'resume-everyone', measures: MEASURES });

  const sheet = await ada.openSheet(1);
  sheet.set(FACE_MASK, { answer: 1 });
  await sheet.saved();
  await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  const settle = { type: 'settle-task', task: FACE_MASK, how: 'leave-open' } as const;
  await p.moderator.onEvaluation({ ...settle, value: null, reason: REASON });
  await p.moderator.onEvaluation({ type: 'lock', meaning: 'We stand by this.' });
  const response = await fetch(`${server.url}/api/evaluations/${p.evaluation}/bundle`, {
    headers: { cookie: ada.cookie },
  });
  const checked = verifyBundle(new Uint8Array(await response.arrayBuffer()));
  expect(checked.findings).toEqual([]);
  expect(checked.facts?.result.evidence).toMatchObject([{ task: FACE_MASK, valid: 1, done: 1 }]);
});
