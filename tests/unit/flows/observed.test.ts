import { expect, test } from 'vitest';
import { meSlice } from '../../../server/src/evaluation/view/me.ts';
import { sharedSlices } from '../../../server/src/evaluation/view/slices.ts';
import type { Audience } from '../../../server/src/evaluation/visibility.ts';
import { protocolOf } from '../../../server/src/flows/app.ts';
import { accepted } from '../../support/seated-panel.ts';
import { watchedPanel } from '../../support/watched-record.ts';

const AUDIENCES: Audience[] = ['moderator', 'reviewer', 'catching-up', 'bench', 'onlooker', 'wall'];
const people = { name: () => '', online: () => false };

test('ME-20: who played a clip and how they see the work is theirs alone until the opening', async () => {
  const { test: made, panel, clip } = await watchedPanel();
  const [far] = panel.reviewers;
  if (!far) throw new Error('nobody is seated');
  const { protocol } = protocolOf(made.app, (await panel.live()).state);
  const told = async (): Promise<string[]> => {
    const around = {
      protocol,
      panelTitle: '',
      briefing: '',
      people,
      checkpoint: { root: '', size: 0 },
      insight: () => null,
      doubts: [],
      arrivals: 0,
    };
    const { state } = await panel.live();
    return AUDIENCES.map((audience) => JSON.stringify(sharedSlices(state, around, audience)));
  };
  const before = await told();
  accepted(await panel.act(far, { type: 'state-observation', how: 'recorded' }));
  accepted(await panel.act(far, { type: 'watch-clip', media: clip }));
  expect(await told()).toEqual(before);
  const size = (await made.app.store.events(panel.evaluation)).length;
  accepted(await panel.act(far, { type: 'watch-clip', media: clip }));
  accepted(await panel.act(far, { type: 'state-observation', how: 'recorded' }));
  expect(await made.app.store.events(panel.evaluation)).toHaveLength(size);
  const me = meSlice((await panel.live()).state, far.seat, people, protocol);
  expect(me).toMatchObject({ observed: 'recorded', watched: [clip] });
  await panel.rate(far, { 'pulse-check': 1 });
  accepted(await panel.act(panel.moderator, { type: 'open-round', withMissing: true }));
  const [opened] = await told();
  expect(opened).toContain(`"watchedBy":["${far.seat}"]`);
  expect(opened).toContain('"observed":[{"round":1,"how":"recorded"}]');
});

test('ME-20: only who has a sheet says so, of a clip that is there', async () => {
  const { panel, clip } = await watchedPanel();
  const [far] = panel.reviewers;
  if (!far) throw new Error('nobody is seated');
  const say = { type: 'state-observation', how: 'present' } as const;
  const codeOf = async (...ask: Parameters<typeof panel.act>): Promise<string | null> => {
    const answer = await panel.act(...ask);
    return answer.ok ? null : answer.rejection.code;
  };
  expect(await codeOf(panel.moderator, say)).toBe('role-may-not');
  expect(await codeOf(panel.moderator, { type: 'watch-clip', media: clip })).toBe('role-may-not');
  const remove = { type: 'remove-media', media: clip, reason: 'A face is in it.' } as const;
  accepted(await panel.act(panel.moderator, remove));
  expect(await codeOf(far, { type: 'watch-clip', media: clip })).toBe('unknown-thing');
});
