import { describe, expect, test } from 'vitest';
import type { EvaluationEvent } from '../../../shared-types/src/index.ts';
import { restLeft, restMinutes } from '../../../shared-types/src/index.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import { taskEvidence } from '../../../server/src/evaluation/evidence.ts';
import { fold, type Stamped } from '../../../server/src/evaluation/fold.ts';
import { safetySlice } from '../../../server/src/evaluation/safety.ts';
import { evidenceFigures } from '../../../server/src/verify/figures/evidence.ts';
import { emptyReplay, takeEvent } from '../../../server/src/verify/replay.ts';
import { sharedSlices } from '../../../server/src/evaluation/view/slices.ts';
import { entryKey, FACE_MASK, failed, protocol, seatOf, trial } from '../../support/trials.ts';

const MOD = seatOf('a');
const REC = seatOf('b');
const AT = '2026-03-02T09:00:00.000Z';
const stamp = (event: EvaluationEvent, actor = MOD): Stamped => ({ ...event, at: AT, actor });
const posted = (entry: ReturnType<typeof trial>): Stamped =>
  stamp({ type: 'entry-posted', data: { seat: REC, key: entryKey(REC), entry } }, REC);
const seats = (['moderator', 'recorder'] as const).map((role, i) =>
  stamp({
    type: 'seat-taken',
    data: { seat: i === 0 ? MOD : REC, role, letter: null, nameHash: '' },
  }),
);
const consent = (model: string): Stamped =>
  stamp({ type: 'consent-recorded', data: { seat: MOD, model } });
const left = (model: string): Stamped =>
  stamp({ type: 'consent-withdrawn', data: { seat: REC, model } }, REC);
const decided = (model: string, count: boolean): Stamped =>
  stamp({ type: 'model-trials-decided', data: { model, count, reason: 'As the model asked.' } });

/** How many trials of the face mask count, here and by the verifier's own reckoning. */
const valid = (events: readonly Stamped[]): number => {
  const state = fold(events);
  const own = taskEvidence(state.trials, protocol, FACE_MASK)?.valid ?? 0;
  const replay = { ...emptyReplay(), stage: 'sealed' as const };
  for (const e of events) expect(takeEvent(replay, e, e.actor)).toBeUndefined();
  const again = evidenceFigures(replay, protocol)?.find((e) => e.task === FACE_MASK)?.valid ?? 0;
  expect(again).toBe(own);
  return own;
};

describe('SD-5: the trials of a model who leaves', () => {
  const start = [...seats, consent('M1'), posted(failed({ model: 'M1' })), posted(failed())];

  test('stay in the evidence and are marked, until a moderator takes them out, and come back the same way', () => {
    const gone = [...start, left('M1')];
    expect(valid(start)).toBe(2);
    expect(valid(gone)).toBe(2);
    const marks = [...fold(gone).trials.values()].map((t) => t.withdrew);
    expect(marks).toEqual([{ at: AT, counts: true }, undefined]);
    const out = [...gone, decided('M1', false)];
    expect(valid(out)).toBe(1);
    const evidence = taskEvidence(fold(out).trials, protocol, FACE_MASK);
    expect(evidence?.beside.withdrawn).toBe(1);
    expect(valid([...out, decided('M1', true)])).toBe(2);
  });

  test('one that is typed after the model has left is kept, and stands as the others do', () => {
    const late = posted(failed({ model: 'M1' }));
    const kept = [...start, left('M1'), late];
    expect(valid(kept)).toBe(3);
    expect([...fold(kept).trials.values()].at(-1)?.withdrew).toEqual({ at: AT, counts: true });
    expect(valid([...start, left('M1'), decided('M1', false), late])).toBe(1);
  });
});

test('SD-6: the verifier finds an opening while all stand still, a second leaving, and a foreign hand', () => {
  const faultOf = (events: readonly Stamped[], last: Stamped): string | undefined => {
    const replay = { ...emptyReplay(), stage: 'sealed' as const };
    for (const e of [...seats, ...events]) takeEvent(replay, e, e.actor);
    return takeEvent(replay, last, last.actor);
  };
  const stop = stamp({ type: 'everyone-stopped', data: { seat: MOD, reason: null } });
  const opening = stamp({ type: 'round-opened', data: { round: 2, missing: [] } });
  const resumed = stamp({ type: 'everyone-resumed', data: { seat: MOD, measures: 'Looked.' } });
  expect(faultOf([stop], opening)).toContain('everyone had stopped');
  expect(faultOf([stop, resumed], opening)).toBeUndefined();
  expect(faultOf([], resumed)).toContain('nobody had stopped');
  expect(faultOf([consent('M1'), left('M1')], left('M1'))).toContain('no such model');
  expect(faultOf([], left('M1'))).toContain('no such model');
  expect(faultOf([consent('M1')], consent('M1'))).toContain('already');
  expect(faultOf([consent('M1')], decided('M1', false))).toContain('has not left');
  expect(faultOf([], { ...stop, actor: REC })).toContain('another seat');
  const since = stamp({ type: 'everyone-stopped', data: { seat: MOD, reason: null, since: AT } });
  expect(faultOf([], since)).toContain('earlier time');
});

test('SD-4: who takes part in trials and has not acknowledged this very text is named', () => {
  const told = stamp({ type: 'briefing-acknowledged', data: { seat: REC, text: 'old' } }, REC);
  const state = fold([...seats, told]);
  expect(safetySlice(state, 'old', true).briefing.owed).toEqual([MOD]);
  expect(safetySlice(state, 'new', true).briefing).toEqual({
    text: 'new',
    acknowledged: [],
    owed: [MOD, REC],
  });
});

test('SD-8: an incident is hidden from who may not see the trials yet', () => {
  const note = {
    what: 'The jaw could not be reached in this trial.',
    happenedAt: AT,
    task: FACE_MASK,
    trial: null,
    done: 'Nothing to do.',
    direction: 'informed' as const,
  };
  const noted = stamp({
    type: 'incident-noted',
    data: { incident: 'ic_1', seat: MOD, note },
  });
  const created = { specimen: {}, protocol: {} } as NonNullable<ReturnType<typeof fold>['created']>;
  const state = { ...fold([...seats, noted]), created };
  const around = {
    protocol: { ...protocol, evidenceBeforeRating: false },
    panelTitle: '',
    briefing: '',
    people: { name: () => '', online: () => false },
    checkpoint: { root: '', size: 0 },
    insight: () => null,
    doubts: [],
    arrivals: 0,
  };
  for (const [audience, sees] of [
    ['moderator', true],
    ['bench', true],
    ['reviewer', false],
    ['onlooker', false],
    ['wall', false],
  ] as const) {
    const shown = JSON.stringify(sharedSlices(state, around, audience));
    expect(shown.includes(note.what), audience).toBe(sees);
  }
});

describe('SD-7: the rest between tiring trials', () => {
  const CPR = 'cpr-compressions';
  const did = (minutesAgo: number, more: Partial<ReturnType<typeof trial>> = {}) => ({
    entry: trial({
      task: CPR,
      operator: 'K1',
      at: new Date(Date.parse(AT) - minutesAgo * 60_000).toISOString(),
      ...more,
    }),
  });
  const left = (trials: ReturnType<typeof did>[], task = CPR, operator = 'K1', p = protocol) =>
    restLeft(trials, p, { task, operator }, Date.parse(AT)) / 60_000;

  test('three minutes after compressions where the protocol has no rule, of the same operator alone', () => {
    expect(restMinutes(protocol, CPR)).toBe(3);
    expect(restMinutes(protocol, FACE_MASK)).toBeNull();
    expect(left([did(1)])).toBe(2);
    expect(left([did(3)])).toBe(0);
    expect(left([did(10), did(2.5)])).toBe(0.5);
    expect(left([did(1)], CPR, 'K2')).toBe(0);
    expect(left([did(1)], FACE_MASK)).toBe(0);
    expect(left([did(1, { task: FACE_MASK })])).toBe(0);
    // A correction is no new trial, and one from a clock that runs ahead is not waited for.
    expect(left([did(1, { replaces: entryKey(REC) })])).toBe(0);
    expect(left([did(-5)])).toBe(0);
  });

  test('the protocol’s own rule takes its place, over all the tasks it names', () => {
    const own = { ...protocol, rest: { minutes: 10, tasks: [CPR, FACE_MASK] } };
    expect(left([did(4)], FACE_MASK, 'K1', own)).toBe(6);
    expect(left([did(4)], CPR, 'K1', { ...protocol, rest: { minutes: 10, tasks: [] } })).toBe(0);
  });

  test('a rule over a task that is not there is a fault with its place', () => {
    const rest = { minutes: 3, tasks: ['no-such-task'] };
    const found = checkProtocol(JSON.stringify({ ...protocol, rest }));
    expect(found.ok).toBe(false);
    expect(JSON.stringify(found)).toContain('/rest/tasks/0');
    expect(JSON.stringify(found)).toContain('no-such-task');
  });
});
