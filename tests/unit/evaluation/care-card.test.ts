import { describe, expect, test } from 'vitest';
import type { ListedTrial } from '../../../shared-types/src/index.ts';
import { cardTrials } from '../../../server/src/evaluation/card-trials.ts';
import { careCard } from '../../../server/src/evaluation/care-card.ts';
import { protocolOf } from '../../../server/src/flows/app.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const cardOf = async () => {
  const { app, panel } = await lockedBundle();
  const { state } = await panel.live();
  const { protocol } = protocolOf(app, state);
  const trials = new Map([['fm-tool-first', { done: 1, of: 3, medianSeconds: 171.2 }]]);
  const card = careCard(state, protocol, null, trials);
  if (card?.kind !== 'card') throw new Error('no card came');
  return { card, state, protocol };
};

test('CC-4: attempts with the equipment that stand are counted; void, replaced and practice ones are not', () => {
  const trial = (
    key: string,
    seconds: string | null,
    done: boolean,
    more: { condition?: string; voided?: object; replacedBy?: string } = {},
  ) => {
    const { condition = 'equipment', voided = null, replacedBy = null } = more;
    return [key, { key, entry: { task: 't', condition, done, seconds }, voided, replacedBy }];
  };
  const trials = new Map<string, ListedTrial>([
    trial('a', '30', true),
    trial('b', '50', true),
    trial('c', '180', false),
    trial('d', '1', true, { condition: 'practice' }),
    trial('e', '1', true, { voided: { reason: 'dropped' } }),
    trial('f', '1', true, { replacedBy: 'a' }),
  ] as never);
  expect([...cardTrials({ trials })]).toEqual([['t', { done: 2, of: 3, medianSeconds: 40 }]]);
});

describe('a care card', () => {
  test('CC-1: none before the lock', async () => {
    const { app } = testApp();
    const { state } = await (await seatedPanel(app, 3)).live();
    const { protocol } = protocolOf(app, state);
    expect(careCard(state, protocol, null, new Map())).toBeUndefined();
  });

  test('sorts what was settled by its distance from the datum, with the protocol’s sentence of that point', async () => {
    const { card, protocol } = await cardOf();
    const tasks = protocol.sections.flatMap((s) => s.tasks);
    const anchors = (id: string) => tasks.find((t) => t.id === id)?.anchors ?? [];
    // Settled: fm-tool-first 2.5 (decided), airway-open 2 (left open), fm-cut-backup 1.5, the fit tasks 1 each.
    expect(card.delayed.map((t) => [t.task, t.value, t.sentence, t.leftOpen])).toEqual([
      ['fm-tool-first', 2.5, anchors('fm-tool-first')[3], false],
      ['airway-open', 2, anchors('airway-open')[2], true],
    ]);
    expect(card.marked).toEqual([]);
    expect(card.slight.map((t) => [t.task, t.sentence])).toEqual([
      ['fm-cut-backup', anchors('fm-cut-backup')[2]],
      ['fit-retention', anchors('fit-retention')[1]],
      ['wear-comfort', anchors('wear-comfort')[1]],
    ]);
    expect(card.asWithout).toEqual([]);
  });

  test('tools come with the timed attempts where there are any, and say where there are none', async () => {
    const { card } = await cardOf();
    expect(card.tools.map((t) => [t.tool, t.tasks.map((x) => x.trials)])).toEqual([
      ['Primary face-mask tool', [{ done: 1, of: 3, medianSeconds: 171.2 }]],
      ['Face-mask cutter', [null]],
    ]);
  });

  test('CC-3: every task of the protocol is either found on it or named as not tested, and so is every state', async () => {
    const { card, protocol } = await cardOf();
    const found = [...card.marked, ...card.delayed, ...card.slight, ...card.asWithout].map(
      (t) => t.title,
    );
    const all = protocol.sections.flatMap((s) => s.tasks).map((t) => t.title);
    const named = [...found, ...card.notTested.tasks.map((t) => t.title)];
    expect(named.toSorted()).toEqual(all.toSorted());
    expect([...card.statesTested, ...card.notTested.states].toSorted()).toEqual(
      protocol.states.map((s) => s.title).toSorted(),
    );
    expect(card.notTested.tasks[0]).toMatchObject({ why: 'not-rated', reason: null });
  });

  test('CC-2: withdrawn, it says so and holds nothing of what was found', async () => {
    const { state, protocol } = await cardOf();
    const since = { stage: 'withdrawn' as const, withdrawnBecause: 'Why', withdrawnAt: 'then' };
    const card = careCard({ ...state, ...since }, protocol, null, new Map());
    expect(card).toMatchObject({ kind: 'withdrawn-card', state: { kind: 'withdrawn' } });
    expect(JSON.stringify(card)).not.toContain('sentence');
  });
});
