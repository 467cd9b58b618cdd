import { expect, test } from 'vitest';
import { coverLogs } from '../../../server/src/flows/change.ts';
import { evaluationSlices } from '../../../server/src/flows/look.ts';
import { takeDoubt, witnessOf } from '../../../server/src/flows/witness.ts';
import { judge } from '../../../web/src/sync/witness/judge.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const setUp = async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app);
  accepted(await panel.act(panel.moderator, { type: 'start-round' }));
  await coverLogs(app);
  return { app, panel };
};

test('WI-2: a device is shown that the log goes on from any size it may have seen', async () => {
  const { app, panel } = await setUp();
  const first = await witnessOf(app, await panel.live(), 0);
  if (!first) throw new Error('no checkpoint');
  const kept = judge(panel.evaluation, undefined, first);
  if (!kept.ok) throw new Error(kept.fault);
  accepted(await panel.act(panel.moderator, { type: 'present-task', task: 'aed-pads' }));
  await coverLogs(app);
  const live = await panel.live();
  expect(live.covered).toBeGreaterThan(kept.keep.size);
  const later = await witnessOf(app, live, kept.keep.size);
  expect(later && judge(panel.evaluation, kept.keep, later)).toMatchObject({ ok: true });
  expect(await witnessOf(app, live, live.covered)).toMatchObject({ proof: [] });
});

test('WI-2: a device that names more events than there are is given no proof', async () => {
  const { app, panel } = await setUp();
  const live = await panel.live();
  expect(await witnessOf(app, live, live.covered + 1)).toMatchObject({ proof: null });
});

test('a doubt with a checkpoint of this server is shown to the moderator alone, and once', async () => {
  const { app, panel } = await setUp();
  const { note } = (await witnessOf(app, await panel.live(), 0)) ?? { note: '' };
  const [ada] = panel.reviewers;
  if (!ada) throw new Error('nobody');
  const evaluation = panel.evaluation;
  const doubt = { evaluation, fault: 'rewind', kept: note, got: note } as const;
  expect(takeDoubt(app, ada, doubt)).toBe(true);
  expect(takeDoubt(app, ada, doubt)).toBe(true);
  const seen = async (audience: 'moderator' | 'reviewer') =>
    (await evaluationSlices(app, await panel.live(), audience, () => false))['doubts'];
  expect(await seen('moderator')).toMatchObject([{ seat: ada.seat, fault: 'rewind' }]);
  expect(await seen('reviewer')).toEqual([]);
});

test('a doubt that rests on no checkpoint of this server is not taken, but for a strange key', async () => {
  const { app, panel } = await setUp();
  const doubt = { evaluation: panel.evaluation, kept: 'made up', got: '' };
  expect(takeDoubt(app, panel.moderator, { ...doubt, fault: 'fork' })).toBe(false);
  expect(takeDoubt(app, panel.moderator, { ...doubt, fault: 'signature' })).toBe(true);
});
