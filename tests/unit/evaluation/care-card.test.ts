import { describe, expect, test } from 'vitest';
import type { ListedTrial, TrialEntry } from '../../../shared-types/src/index.ts';
import { cardTrials } from '../../../server/src/evaluation/card-trials.ts';
import { careCard } from '../../../server/src/evaluation/care-card.ts';
import { protocolOf } from '../../../server/src/flows/app.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';
import { taskEvidence } from '../../../server/src/evaluation/evidence.ts';
import {
  entryKey,
  FACE_MASK,
  failed,
  protocol as shipped,
  seatOf,
  trial,
} from '../../support/trials.ts';

const cardOf = async () => {
  const { app, panel } = await lockedBundle();
  const { state } = await panel.live();
  const { protocol } = protocolOf(app, state);
  const trials = new Map([
    ['fm-tool-first', { done: 1, of: 3, medianSeconds: { value: 171.2 }, bare: null }],
  ]);
  const card = careCard(state, protocol, null, trials);
  if (card?.kind !== 'card') throw new Error('no card came');
  return { card, state, protocol };
};

const listed = (...entries: [TrialEntry, Partial<ListedTrial>?][]): Map<string, ListedTrial> =>
  new Map(
    entries.map(([entry, more]) => {
      const key = entryKey(seatOf('a'));
      const plain = { key, seat: seatOf('a'), entry, keptAt: entry.at, replacedBy: null };
      return [key, { ...plain, voided: null, ...more }];
    }),
  );

test('CC-4: card and evidence are one statistic: what stands, in the task’s state, one not done ranked last', () => {
  const voided = { by: seatOf('a'), reason: 'dropped', at: '' };
  const set = [
    [trial({ seconds: '30' })],
    [trial({ seconds: '50' })],
    [failed()],
    [trial({ seconds: '1', condition: 'practice' })],
    [trial({ seconds: '1', state: 'mask-removed' })],
    [trial({ seconds: '1' }), { voided }],
    [trial({ seconds: '1' }), { replacedBy: 'another' }],
  ] satisfies [TrialEntry, Partial<ListedTrial>?][];
  const trials = listed(...set);
  expect([...cardTrials({ trials }, shipped)]).toEqual([
    [FACE_MASK, { done: 2, of: 3, medianSeconds: { value: 50 }, bare: null }],
  ]);
  expect(taskEvidence(trials, shipped, FACE_MASK)?.medianSeconds).toEqual({ value: 50 });
  const half = cardTrials({ trials: listed([trial()], [failed()]) }, shipped);
  expect(half.get(FACE_MASK)?.medianSeconds).toEqual({
    why: 'half of the trials or more were not done',
  });
});

test('CC-5: a multiple of the time without the equipment is the record’s and the Desk’s, with who stands behind it', () => {
  const trials = listed(
    [trial({ operator: 'K1', seconds: '60' })],
    [trial({ operator: 'K1', seconds: '20', condition: 'reference' })],
    [trial({ operator: 'K2', seconds: '80' })],
    [trial({ operator: 'K2', seconds: '40', condition: 'reference' })],
  );
  const bare = cardTrials({ trials }, shipped).get(FACE_MASK)?.bare;
  // Three times and twice: the middle of the operators' multiples, not 140 / 60.
  expect(bare?.times).toBeCloseTo(Math.sqrt(6), 10);
  expect(bare).toMatchObject({ kind: 'paired', n: { equipment: 2, reference: 2 } });
  const { comparison } = taskEvidence(trials, shipped, FACE_MASK) ?? {};
  expect(comparison).toMatchObject({ ratio: bare?.times, operatorRatio: { value: bare?.times } });
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
      ['Primary face-mask tool', [{ done: 1, of: 3, medianSeconds: { value: 171.2 }, bare: null }]],
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
