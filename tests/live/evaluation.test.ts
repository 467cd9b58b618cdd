import { expect, test } from 'vitest';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';

const REASON = 'Talked through at the bench; both saw the pin stick.';

test('a whole evaluation over the real sockets: join, rate, open, settle, lock, take the bundle away', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = await p.join('reviewer', 'Ada', server.url, 'code');
  const ben = await p.join('reviewer', 'Ben', server.url, 'link');
  const wall = await p.join('wall', '');
  await p.moderator.onEvaluation({ type: 'start-round' });

  const ratings = { 'chest-access': [1, 5], 'aed-pads': [2, 2], 'torso-removal': [0, 1] };
  for (const [i, { client }] of [ada, ben].entries()) {
    await client.until('the round', (v) => v.me?.sheets.length === 1);
    const sheet = await client.openSheet(1);
    for (const [task, steps] of Object.entries(ratings)) sheet.set(task, { answer: steps[i] });
    sheet.set('chest-access', { note: `Seen by ${String(i)}` });
    await sheet.saved();
    await client.onEvaluation({ type: 'finish-sheet' });
  }
  await p.moderator.until('both finished', (v) => v.allFinished === true);
  expect(p.moderator.view.tasks).toEqual({});

  const early = await p.moderator.send({
    on: 'evaluation',
    evaluation: p.evaluation,
    command: { type: 'open-round', withMissing: false },
  });
  expect(early).toMatchObject({ ok: false, rejection: { code: 'ratings-missing' } });
  await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  for (const { client } of [ada, ben, wall]) {
    await client.until('the opening', (v) => v.head?.stage === 'opened');
    expect(client.view.tasks?.['chest-access']?.ratings.map((r) => r.rating.step)).toEqual([1, 5]);
    expect(client.view.queue).toContain('chest-access');
  }
  expect(ada.client.view.me?.digests).toHaveLength(1);

  const settle = { type: 'settle-task', task: 'chest-access', how: 'decide' } as const;
  await p.moderator.onEvaluation({ ...settle, value: '3.5', reason: REASON });
  const owed = Object.values(p.moderator.view.tasks ?? {}).filter((t) => t.gate?.owed);
  for (const { task } of owed) {
    await p.moderator.onEvaluation({ type: 'decide-gate', task, confirm: false, reason: REASON });
  }
  await p.moderator.onEvaluation({ type: 'adopt-undisputed' });
  await p.moderator.onEvaluation({ type: 'lock', meaning: 'We stand by this.' });
  await wall.client.until('the lock', (v) => v.head?.stage === 'locked');

  const response = await fetch(`${server.url}/api/evaluations/${p.evaluation}/bundle`, {
    headers: { cookie: ada.client.cookie },
  });
  expect(response.status).toBe(200);
  const checked = verifyBundle(new Uint8Array(await response.arrayBuffer()), { seen: [] });
  expect(checked.findings).toEqual([]);
  expect(checked.ok).toBe(true);
});

test('SY-3: what was typed without a connection is on disk after the next one, and only then called saved', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = await p.join('reviewer', 'Ada');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await ada.client.openSheet(1);
  sheet.set('chest-access', { answer: 1 });
  await sheet.saved();
  sheet.provider.disconnect();
  sheet.set('aed-pads', { answer: 4 });
  sheet.set('chest-access', { answer: 2 });
  const again = await ada.client.openSheet(1);
  await again.saved();
  expect(again.doc.getMap('r').get('aed-pads/answer')).toBeUndefined();
  expect(again.doc.getMap('r').get('chest-access/answer')).toBe(1);
  await sheet.reconnect();
  await sheet.saved();
  await expect
    .poll(() => again.doc.getMap('r').toJSON())
    .toEqual({
      'chest-access/answer': 2,
      'aed-pads/answer': 4,
    });
});

test('SE-11: at the opening the sheets close; what comes after is refused and can be offered as late', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = await p.join('reviewer', 'Ada');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const sheet = await ada.client.openSheet(1);
  const closed = new Promise<number>((resolve) => {
    sheet.provider.on('closed', ({ code }: { code: number }) => resolve(code));
  });
  sheet.set('chest-access', { answer: 1 });
  await sheet.saved();
  await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
  sheet.set('chest-access', { answer: 5 });
  expect(await closed).toBe(4409);
  await ada.client.until('the opening', (v) => v.head?.stage === 'opened');
  expect(ada.client.view.me?.sheets[0]?.frozen).toBe(true);
  await ada.client.onEvaluation({
    type: 'offer-late',
    round: 1,
    ratings: [
      {
        task: 'chest-access',
        rating: {
          answer: 'step',
          step: 5,
          easier: false,
          reason: null,
          critical: null,
          note: null,
          at: null,
        },
      },
    ],
  });
  await p.moderator.until('the late rating', (v) => (v.late ?? []).length === 1);
  expect(p.moderator.view.late?.[0]).toMatchObject({ recorded: { step: 1 }, rating: { step: 5 } });
  expect(p.moderator.view.tasks?.['chest-access']?.ratings[0]?.rating.step).toBe(1);
});

test('BO-1: a remark on the board reaches everybody as a slice, and a sealed task takes none', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = await p.join('reviewer', 'Ada');
  const olu = await p.join('observer', 'Olu');
  const board = await ada.client.openDocument(ada.client.view.me?.board ?? '');
  const at = '2026-03-02T09:00:00.000Z';
  const post = (task: string | null, text: string, n: number): void => {
    const value = JSON.stringify({ kind: 'remark', task, text, at, replaces: null });
    board.doc.getMap('entries').set(`${ada.seat}/${String(n).padStart(22, '0')}`, value);
  };
  post('chest-access', 'The pin is stiff.', 1);
  await board.saved();
  await olu.client.until('the remark', (v) => (v.remarks ?? []).length === 1);
  expect(olu.client.view.remarks?.[0]).toMatchObject({ seat: ada.seat, text: 'The pin is stiff.' });
  await p.moderator.onEvaluation({ type: 'start-round' });
  const refused = new Promise<number>((resolve) => {
    board.provider.on('closed', ({ code }: { code: number }) => resolve(code));
  });
  post('chest-access', 'It blocks everything.', 2);
  expect(await refused).toBe(4403);
  expect(olu.client.view.remarks).toHaveLength(1);
});
