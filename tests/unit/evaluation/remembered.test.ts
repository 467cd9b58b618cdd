import { expect, test } from 'vitest';
import { lockFigures } from '../../../server/src/evaluation/figures.ts';
import { apply, fold, type Stamped } from '../../../server/src/evaluation/fold.ts';
import { insightQuestion } from '../../../server/src/evaluation/insight.ts';
import { remembered } from '../../../server/src/evaluation/remembered.ts';
import { allStandings } from '../../../server/src/evaluation/standing.ts';
import { sharedSlices, type Surroundings } from '../../../server/src/evaluation/view/slices.ts';
import { openedEvents, wideProtocol } from '../../support/evaluation-workload.ts';

const protocol = wideProtocol(12);
const around: Surroundings = {
  protocol,
  panelTitle: 'Invented',
  briefing: '',
  people: { name: (seat) => seat, online: () => false },
  checkpoint: { root: '', size: 1 },
  insight: () => null,
  doubts: [],
  arrivals: 0,
};
const event = (type: string, data: unknown): Stamped =>
  ({ type, data, at: '2026-03-02T10:00:00.000Z', actor: { seat: 'st_moderator' } }) as never;
const rating = {
  answer: 'step',
  step: 4,
  easier: false,
  reason: null,
  critical: 'torn',
  note: null,
  at: null,
};

/** Everything that changes what a task, the agreement or the lock shows, one after another. */
const story: Stamped[] = [
  event('task-settled', { task: 't1', how: 'adopt', value: null, reason: null }),
  event('gate-decided', { task: 't2', confirmed: false, backedByTrials: false, reason: 'seen' }),
  event('rating-corrected', {
    task: 't3',
    seat: 'R0',
    round: 1,
    old: null,
    new: rating,
    reason: 'slip',
  }),
  event('gate-decided', { task: 't3', confirmed: true, backedByTrials: true, reason: 'torn' }),
  event('interest-declared', { seat: 'R1', declaration: { ties: [] }, excluded: ['t4', 't5'] }),
  event('task-settled', { task: 't4', how: 'decide', value: '2.5', reason: 'talked through' }),
  event('task-reopened', { task: 't3' }),
  event('round-started', { round: 2, tasks: ['t6'], sheets: [{ seat: 'R2', document: 'sh_2' }] }),
  event('sheet-recorded', {
    seat: 'R2',
    round: 2,
    digest: '',
    remarks: [],
    ratings: [{ task: 't6', rating, changed: true }],
  }),
  event('round-opened', { round: 2 }),
  event('seat-revoked', { seat: 'R3' }),
];

test('EV-1: what is remembered from event to event is what the log alone gives', () => {
  const before = openedEvents(12, 5);
  let state = fold(before);
  story.forEach((_, i) => {
    // Seen after every event, so that each one finds a full memory.
    for (const audience of ['moderator', 'reviewer'] as const)
      sharedSlices(state, around, audience);
    state = apply(state, story[i] as Stamped);
    // A copy shares no object with what was remembered.
    const anew = fold(structuredClone([...before, ...story.slice(0, i + 1)]));
    const freshProtocol = structuredClone(protocol);
    for (const audience of ['moderator', 'reviewer'] as const) {
      expect(sharedSlices(state, around, audience)).toEqual(
        sharedSlices(anew, { ...around, protocol: freshProtocol }, audience),
      );
    }
    expect(lockFigures(state, protocol)).toEqual(lockFigures(anew, freshProtocol));
  });
});

test('a settlement asks the same question of the insight, a correction another one', () => {
  const state = fold(openedEvents(12, 5));
  const question = (of: typeof state) => insightQuestion(of, protocol, allStandings(of, protocol));
  expect(question(apply(state, story[0] as Stamped))).toBe(question(state));
  expect(question(apply(state, story[2] as Stamped))).not.toEqual(question(state));
});

test('one part that differs is enough to work the answer out again', () => {
  const memory = remembered<object, number>();
  const key = {};
  let made = 0;
  const ask = (...parts: unknown[]): number => memory(key, parts, () => ++made);
  expect([ask('a', 1), ask('a', 1), ask('a', 2), ask('a', 1)]).toEqual([1, 1, 2, 3]);
  expect(memory({}, ['a', 1], () => 9)).toBe(9);
});
