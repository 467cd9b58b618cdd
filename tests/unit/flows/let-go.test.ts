import { expect, test } from 'vitest';
import { coverLogs } from '../../../server/src/flows/change.ts';
import { LET_GO_AFTER, letGo } from '../../../server/src/flows/let-go.ts';
import { openDocument } from '../../../server/src/flows/open-document.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const setUp = async () => {
  const { app, homes, clock } = testApp();
  const p = await seatedPanel(app, 3);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await coverLogs(app);
  const watched = new Set<string>();
  const look = async (times: number): Promise<number> => {
    let gone = 0;
    for (let i = 0; i < times; i++) {
      gone += await letGo(app, { homes, watched: (id) => watched.has(id) });
    }
    return gone;
  };
  return { app, homes, clock, p, watched, look };
};

test('LG-3: an evaluation nobody asks for goes out of memory, and is the same when it is read again', async () => {
  const { app, p, look } = await setUp();
  const before = await p.live();
  expect(await look(LET_GO_AFTER - 1)).toBe(0);
  expect(await p.live()).toBe(before);
  expect(await look(LET_GO_AFTER)).toBe(1);
  expect(await app.logs.known(p.evaluation)).toBeUndefined();
  const again = await p.live();
  expect(again).not.toBe(before);
  expect(again.state).toEqual(before.state);
  expect([again.size, again.root, again.note]).toEqual([before.size, before.root, before.note]);
  // And goes on from there.
  await p.rate(p.reviewers[0]!, { 'chest-access': 2 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  expect((await p.live()).state.ratings.get('chest-access')?.size).toBe(1);
});

test('LG-3: what somebody looks at, or what no checkpoint covers yet, stays', async () => {
  const { app, p, watched, look } = await setUp();
  watched.add(p.evaluation);
  expect(await look(2 * LET_GO_AFTER)).toBe(0);
  watched.clear();
  accepted(await p.act(p.moderator, { type: 'present-task', task: 'chest-access' }));
  expect(await look(2 * LET_GO_AFTER)).toBe(0);
  await coverLogs(app);
  expect(await look(1)).toBe(1);
});

test('LG-3: an evaluation with a document in use stays, and goes when the document does', async () => {
  const { app, homes, clock, p, look } = await setUp();
  const live = await p.live();
  const seat = p.reviewers[0]?.seat ?? '';
  const document = live.state.rounds[0]?.sheets.get(seat) ?? '';
  await openDocument(app, live, document, seat, homes);
  expect(await look(2 * LET_GO_AFTER)).toBe(0);
  expect(homes.has(document)).toBe(true);
  app.rooms.left(document);
  clock.advance(10 * 60_000);
  expect(await look(1)).toBe(1);
  expect(homes.size).toBe(0);
});
