import { describe, expect, test } from 'vitest';
import {
  ROLES,
  STAGES,
  type BoardEntry,
  type EvaluationEvent,
  type Role,
  type TrialEntry,
} from '../../../shared-types/src/index.ts';
import { boardEntryFault } from '../../../server/src/evaluation/bench.ts';
import { decide } from '../../../server/src/evaluation/decide.ts';
import { apply, fold, type Stamped } from '../../../server/src/evaluation/fold.ts';
import { lockConditions } from '../../../server/src/evaluation/lock-conditions.ts';
import { EVALUATION_RIGHTS } from '../../../server/src/evaluation/rights.ts';
import { taskStanding } from '../../../server/src/evaluation/standing.ts';
import type { EvaluationState } from '../../../server/src/evaluation/state.ts';
import { sharedSlices } from '../../../server/src/evaluation/view/slices.ts';
import { meSlice } from '../../../server/src/evaluation/view/me.ts';
import { audienceOf, documentMode } from '../../../server/src/evaluation/visibility.ts';
import {
  entryKey,
  FACE_MASK,
  failed,
  protocol,
  seatOf,
  trial,
  trialSource,
} from '../../support/trials.ts';

const SEATS = Object.fromEntries(
  ROLES.map((role, i) => [role, seatOf('abcdef'.charAt(i))]),
) as Record<Role, string>;
const after = { ...protocol, evidenceBeforeRating: false };
const AT = '2026-03-02T09:00:00.000Z';
const stamp = (event: EvaluationEvent, actor = SEATS.moderator): Stamped => ({
  ...event,
  at: AT,
  actor,
});
const posted = (role: Role, entry: BoardEntry, key = entryKey(SEATS[role])): Stamped =>
  stamp({ type: 'entry-posted', data: { seat: SEATS[role], key, entry } }, SEATS[role]);
const rated = (step: number) => ({
  answer: 'step' as const,
  step,
  easier: false,
  reason: null,
  critical: null,
  note: null,
  at: null,
});
const NONE = { ties: [], familiarity: 'none' as const };

const seated: Stamped[] = [
  ...ROLES.map((role) =>
    stamp({ type: 'seat-taken', data: { seat: SEATS[role], role, letter: null, nameHash: '' } }),
  ),
  ...(['moderator', 'reviewer'] as const).map((role) =>
    stamp({
      type: 'interest-declared',
      data: { seat: SEATS[role], declaration: NONE, excluded: [] },
    }),
  ),
];
const sealed = stamp({
  type: 'round-started',
  data: {
    round: 1,
    tasks: [FACE_MASK],
    reason: null,
    sheets: [{ seat: SEATS.reviewer, document: 'sheet' }],
  },
});
const opening = (step: number): Stamped[] => [
  stamp({
    type: 'sheet-recorded',
    data: {
      round: 1,
      seat: SEATS.reviewer,
      ratings: [{ task: FACE_MASK, rating: rated(step), changed: false }],
      remarks: [],
      digest: '',
      nonce: '',
    },
  }),
  stamp({ type: 'round-opened', data: { round: 1, missing: [] } }),
];
const created = {
  evaluation: 'ev',
  panel: 'pn',
  board: 'board',
} as unknown as EvaluationState['created'];
const stateOf = (...events: Stamped[]): EvaluationState => ({
  ...fold([...seated, ...events]),
  created,
});

describe('TR-1 TR-5: who puts what on the board', () => {
  const fault = (role: Role, entry: BoardEntry, state = stateOf(sealed)) =>
    boardEntryFault(state, protocol, SEATS[role], entry);
  const remark = (task: string | null): BoardEntry => ({
    kind: 'remark',
    task,
    text: 'x',
    at: AT,
    replaces: null,
  });
  const voiding = (of: string): BoardEntry => ({
    kind: 'trial-void',
    task: FACE_MASK,
    trial: of,
    reason: 'The tool fell.',
    at: AT,
  });

  test('recorder and operator enter trials, as moderator and reviewer do; others do not', () => {
    for (const role of ROLES) {
      const enters = !['observer', 'wall'].includes(role);
      expect(fault(role, trial()) === undefined, role).toBe(enters);
      expect(fault(role, voiding(entryKey(SEATS[role]))) === undefined, role).toBe(enters);
    }
  });

  test('recorder and operator have no command that rates, and no sheet; a recorder checks the fit', () => {
    const asks = Object.entries(EVALUATION_RIGHTS).filter(
      ([, roles]) => roles.includes('recorder') || roles.includes('operator'),
    );
    // What they may do is evidence, as trials are: the fit, pictures, moments on clips, and what went wrong.
    expect(asks.map(([type]) => type)).toEqual([
      'check-fit',
      'attach-media',
      'mark-moment',
      'note-incident',
    ]);
    for (const stage of STAGES) {
      const state = { ...stateOf(sealed), stage };
      expect(documentMode(state, 'sheet', SEATS.recorder, protocol), stage).toBe('none');
      expect(documentMode(state, 'sheet', SEATS.operator, protocol), stage).toBe('none');
    }
  });

  test('a sealed round holds remarks on its tasks back, not its trials', () => {
    expect(fault('reviewer', remark(FACE_MASK))).toMatch(/sealed/u);
    expect(fault('reviewer', remark(null))).toBeUndefined();
    expect(fault('recorder', trial())).toBeUndefined();
  });

  test('SR-5: a file is named with a way of reading that the program understands', () => {
    const measures = [{ measure: 'theta_max', value: '12.5', counts: null }];
    const source = trialSource('theta_max');
    const of = (as: string) => fault('recorder', trial({ measures, sources: [{ ...source, as }] }));
    expect(of(source.as)).toBeUndefined();
    for (const as of ['{"kind":"motion"}', '{"kind":"manikin","mapping":{}}', '{broken}']) {
      expect(of(as), as).toMatch(/not understood/u);
    }
  });

  test('a trial is corrected by its author, and voided by its author or a moderator', () => {
    const theirs = entryKey(SEATS.recorder);
    expect(fault('recorder', trial({ replaces: theirs }))).toBeUndefined();
    expect(fault('moderator', trial({ replaces: theirs }))).toMatch(/by its author/u);
    expect(fault('moderator', voiding(theirs))).toBeUndefined();
    expect(fault('operator', voiding(theirs))).toMatch(/author or a moderator/u);
    expect(fault('recorder', trial({ state: 'none-such' }))).toMatch(/no equipment state/u);
  });
});

describe('SE-12: evidence after the rating', () => {
  const around = {
    panelTitle: '',
    briefing: '',
    people: { name: () => '', online: () => false },
    checkpoint: { root: '', size: 0 },
    insight: () => null,
    doubts: [],
    arrivals: 0,
  };
  const stages = {
    preparing: stateOf(posted('recorder', failed())),
    sealed: stateOf(sealed, posted('recorder', failed())),
    opened: stateOf(sealed, ...opening(1), posted('recorder', failed())),
  };
  const created12 = (state: EvaluationState): EvaluationState => ({
    ...state,
    created: { ...created, specimen: {}, protocol: {} } as EvaluationState['created'],
  });
  const seen = (state: EvaluationState, role: Role, p = after): string[] => {
    const audience = audienceOf(state, SEATS[role]);
    if (!audience) throw new Error('nobody looks');
    const slices = sharedSlices(created12(state), { ...around, protocol: p }, audience);
    return Object.keys(slices).filter((k) => /^(trials|evidence)\//u.test(k));
  };
  const both = [`trials/${FACE_MASK}`, `evidence/${FACE_MASK}`];

  test('before the first opening only those who run and enter the trials see them', () => {
    for (const stage of ['preparing', 'sealed'] as const) {
      for (const role of ROLES) {
        const works = ['moderator', 'recorder', 'operator'].includes(role);
        expect(seen(stages[stage], role), `${stage} ${role}`).toEqual(works ? both : []);
        const mode = documentMode(stages[stage], 'board', SEATS[role], after);
        expect(mode, `${stage} ${role}`).toBe(works ? 'write' : 'none');
        const me = meSlice(stages[stage], SEATS[role], around.people, after);
        expect(me?.board, `${stage} ${role}`).toBe(works ? 'board' : '');
      }
    }
    for (const role of ROLES) expect(seen(stages.opened, role), role).toEqual(both);
  });

  test('otherwise everybody sees them from the first on', () => {
    for (const role of ROLES) expect(seen(stages.sealed, role, protocol), role).toEqual(both);
  });

  test('who rates after the opening sees no trial under "after", and else what they say, without the notes', () => {
    const late = stamp({
      type: 'sheet-added',
      data: { round: 1, seat: SEATS.reviewer, document: 'late' },
    });
    const state = stateOf(
      sealed,
      stamp({ type: 'round-opened', data: { round: 1, missing: [] } }),
      late,
      posted('recorder', failed()),
    );
    expect(audienceOf(state, SEATS.reviewer)).toBe('catching-up');
    expect(seen(state, 'reviewer')).toEqual([]);
    expect(seen(state, 'reviewer', protocol)).toEqual([`evidence/${FACE_MASK}`]);
  });
});

describe('a critical failure and the trials', () => {
  const REASON = 'Talked through at the bench in full.';
  const context = {
    protocol,
    actor: SEATS.moderator,
    software: 'test',
    newId: (p: string) => p,
    sheets: [],
  };
  const gate = (state: EvaluationState, confirm: boolean) =>
    decide(state, { type: 'decide-gate', task: FACE_MASK, confirm, reason: REASON }, context);
  const after1 = (state: EvaluationState, ...entries: TrialEntry[]) =>
    entries.reduce((s, e) => apply(s, posted('recorder', e)), state);
  const taken = (state: EvaluationState, confirm: boolean): EvaluationState => {
    const outcome = gate(state, confirm);
    if (!outcome.ok) throw new Error(outcome.rejection.message);
    return outcome.value.reduce((s, e) => apply(s, stamp(e)), state);
  };
  const open = stateOf(sealed, ...opening(1));

  test('GA-2 GA-3: trials that meet the criterion open a decision, and back it', () => {
    expect(gate(open, true)).toMatchObject({ ok: false });
    const one = after1(open, failed());
    expect(taskStanding(one, protocol, FACE_MASK)).toMatchObject({
      trials: 'not-enough-trials',
      gateOwed: false,
    });
    const two = after1(one, failed());
    const standing = taskStanding(two, protocol, FACE_MASK);
    expect(standing).toMatchObject({ trials: 'met', gateOwed: true });
    expect(standing.flags).toMatchObject([
      { kind: 'evidence-against-rating', rule: 'evidence', reviewers: [SEATS.reviewer] },
    ]);
    expect(lockConditions(two, protocol).find((c) => c.id === 'gates')?.count).toBe(1);
    expect(gate(two, true)).toMatchObject({
      ok: true,
      value: [{ data: { confirmed: true, backedByTrials: true } }],
    });
  });

  test('GA-4: a rejection from before the trials met it is owed anew; a confirmation stands', () => {
    const worst = stateOf(sealed, ...opening(5));
    const rejected = taken(after1(worst, failed()), false);
    expect(rejected.gates.get(FACE_MASK)).toMatchObject({ backedByTrials: false });
    expect(taskStanding(rejected, protocol, FACE_MASK).gateOwed).toBe(false);
    expect(gate(rejected, true)).toMatchObject({ ok: false });
    const overtaken = after1(rejected, failed());
    expect(taskStanding(overtaken, protocol, FACE_MASK).gateOwed).toBe(true);
    const anew = taken(overtaken, false);
    expect(taskStanding(anew, protocol, FACE_MASK).gateOwed).toBe(false);
    const confirmed = after1(taken(worst, true), failed(), failed());
    expect(taskStanding(confirmed, protocol, FACE_MASK).gateOwed).toBe(false);
  });
});
