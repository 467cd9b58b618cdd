import { describe, expect, test } from 'vitest';
import { inventedFitCommand } from '../../../server/src/rehearse/invented-fit.ts';
import {
  ROLES,
  STAGES,
  type EvaluationCommand,
  type EvaluationCommandType,
  type Rating,
  type Stage,
} from '../../../shared-types/src/index.ts';
import { decide, type DecideContext } from '../../../server/src/evaluation/decide.ts';
import { fold, apply, type Stamped } from '../../../server/src/evaluation/fold.ts';
import { lockConditions } from '../../../server/src/evaluation/lock-conditions.ts';
import { PHASE_TABLE } from '../../../server/src/evaluation/phase-table.ts';
import { EVALUATION_RIGHTS } from '../../../server/src/evaluation/rights.ts';
import { excludedTasks } from '../../../server/src/evaluation/interest.ts';
import { emptyEvaluation, type EvaluationState } from '../../../server/src/evaluation/state.ts';
import { documentMode } from '../../../server/src/evaluation/visibility.ts';
import { wasNotReRated } from '../../../server/src/evaluation/standing.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };

const checked = checkProtocol(JSON.stringify(defaultProtocol));
if (!checked.ok) throw new Error('the shipped protocol is faulty');
const { protocol } = checked;
const TASK = 'fm-tool-first';
const REASON = 'Talked through at the bench in full.';
const rating = (step: number, more: Partial<Rating> = {}): Rating => ({
  answer: 'step',
  step,
  easier: false,
  reason: null,
  critical: null,
  note: null,
  at: null,
  ...more,
});

const COMMANDS: Record<EvaluationCommandType, EvaluationCommand> = {
  'start-round': { type: 'start-round' },
  'finish-sheet': { type: 'finish-sheet' },
  'resume-sheet': { type: 'resume-sheet' },
  'open-round': { type: 'open-round', withMissing: true },
  'correct-rating': { type: 'correct-rating', task: TASK, rating: rating(1), reason: 'slip' },
  'offer-late': { type: 'offer-late', round: 1, ratings: [{ task: TASK, rating: rating(2) }] },
  'import-ratings': {
    type: 'import-ratings',
    file: 'paper.csv',
    sha256: '0'.repeat(64),
    withoutFaulty: false,
    seats: [{ reviewer: 'Ada', seat: null }],
  },
  'decide-late': { type: 'decide-late', late: 'none', admit: true, reason: 'early enough' },
  'call-round': { type: 'call-round', tasks: [TASK], reason: null },
  'settle-task': { type: 'settle-task', task: TASK, how: 'adopt', value: null, reason: null },
  'adopt-undisputed': { type: 'adopt-undisputed' },
  'reopen-task': { type: 'reopen-task', task: TASK, reason: REASON },
  'decide-gate': { type: 'decide-gate', task: TASK, confirm: true, reason: REASON },
  'present-task': { type: 'present-task', task: TASK },
  lock: { type: 'lock', meaning: 'mine' },
  withdraw: { type: 'withdraw', reason: REASON },
  supersede: { type: 'supersede', by: 'ev_later', reason: REASON },
  'check-fit': inventedFitCommand('mod'),
  'override-fit': { type: 'override-fit', reason: REASON },
  endorse: { type: 'endorse', content: true, reason: 'fits well' },
  'attach-media': {
    type: 'attach-media',
    media: 'md_0000000000000000000001',
    place: { of: 'task', task: 'aed-pads' },
    description: 'the strap from the left',
    withoutFaces: true,
  },
  'remove-media': {
    type: 'remove-media',
    media: 'md_0000000000000000000001',
    reason: 'shows a face',
  },
  'mark-moment': {
    type: 'mark-moment',
    media: 'md_0000000000000000000001',
    ms: 1500,
    label: 'strap is free',
  },
  'watch-clip': { type: 'watch-clip', media: 'md_0000000000000000000001' },
  'state-observation': { type: 'state-observation', how: 'recorded' },
  'decide-model-trials': { type: 'decide-model-trials', model: 'M1', count: true, reason: REASON },
  'note-incident': {
    type: 'note-incident',
    note: {
      what: 'A bit slipped off a screw.',
      happenedAt: '2026-03-02T09:00:00.000Z',
      task: TASK,
      trial: null,
      done: 'Bit changed, nobody touched.',
      direction: 'not-informed',
    },
  },
};
const TYPES = Object.keys(COMMANDS) as EvaluationCommandType[];

const stamp = (event: Record<string, unknown>, actor = 'mod'): Stamped =>
  ({ at: '2026-03-02T09:00:00.000Z', actor, ...event }) as Stamped;
const NONE = { ties: [], familiarity: 'none' as const };

/** Events that seat everybody and open one round with the given ratings of one task. */
const opened = (
  ratings: Record<string, Rating>,
  stage: 'sealed' | 'opened' = 'opened',
): Stamped[] => [
  ...ROLES.map((role) =>
    stamp({
      type: 'seat-taken',
      data: { seat: role === 'moderator' ? 'mod' : role, role, letter: null, nameHash: '' },
    }),
  ),
  ...Object.keys(ratings).flatMap((seat) =>
    seat === 'reviewer'
      ? []
      : [
          stamp({
            type: 'seat-taken',
            data: { seat, role: 'reviewer', letter: seat, nameHash: '' },
          }),
        ],
  ),
  ...['mod', 'reviewer', ...Object.keys(ratings)].map((seat) =>
    stamp({ type: 'interest-declared', data: { seat, declaration: NONE, excluded: [] } }),
  ),
  stamp({
    type: 'round-started',
    data: {
      round: 1,
      tasks: [TASK],
      reason: null,
      sheets: ['reviewer', ...Object.keys(ratings)].map((seat) => ({
        seat,
        document: `doc ${seat}`,
      })),
    },
  }),
  ...(stage === 'sealed'
    ? []
    : [
        ...Object.entries(ratings).map(([seat, r]) =>
          stamp({
            type: 'sheet-recorded',
            data: {
              round: 1,
              seat,
              ratings: [{ task: TASK, rating: r, changed: false }],
              remarks: [],
              digest: '',
              nonce: '',
            },
          }),
        ),
        stamp({ type: 'round-opened', data: { round: 1, missing: [] } }),
      ]),
];

let ids = 0;
const context = (actor: string, sheets: DecideContext['sheets'] = []): DecideContext => ({
  protocol,
  actor,
  software: 'test',
  newId: (prefix) => `${prefix}_${String(++ids)}`,
  sheets,
});
const code = (state: EvaluationState, command: EvaluationCommand, actor: string): string => {
  const outcome = decide(state, command, context(actor));
  return outcome.ok ? 'ok' : outcome.rejection.code;
};
const at = (stage: Stage): EvaluationState => ({
  ...fold(opened({ reviewer: rating(1) }, stage === 'opened' ? 'opened' : 'sealed')),
  ...(stage === 'preparing' ? { rounds: [] } : {}),
  stage,
});

describe('EV-2: every stage answers every command', () => {
  test.each(STAGES.flatMap((stage) => TYPES.map((type) => [stage, type] as const)))(
    '%s x %s',
    (stage, type) => {
      const cell = PHASE_TABLE[stage][type];
      const actor = EVALUATION_RIGHTS[type][0] === 'moderator' ? 'mod' : 'reviewer';
      const got = code(at(stage), COMMANDS[type], actor);
      if (cell === 'go')
        expect(['not-started', 'locked', 'withdrawn', 'role-may-not', 'not-seated']).not.toContain(
          got,
        );
      else expect(got).toBe(cell);
    },
  );
});

describe('EV-3: every role may try what is its own, and nothing else', () => {
  test.each(ROLES.flatMap((role) => TYPES.map((type) => [role, type] as const)))(
    '%s x %s',
    (role, type) => {
      const seat = role === 'moderator' ? 'mod' : role;
      for (const stage of STAGES) {
        const got = code(at(stage), COMMANDS[type], seat);
        if (EVALUATION_RIGHTS[type].includes(role)) expect(got).not.toBe('role-may-not');
        else expect(got).toBe('role-may-not');
      }
    },
  );

  test('a revoked seat and a stranger are not seated', () => {
    const state = apply(
      at('opened'),
      stamp({ type: 'seat-revoked', data: { seat: 'mod', reason: 'left' } }),
    );
    expect(code(state, COMMANDS.lock, 'mod')).toBe('not-seated');
    expect(code(state, COMMANDS.lock, 'nobody')).toBe('not-seated');
  });
});

test('EV-1: folding all at once and one by one gives the same state, and changes no earlier one', () => {
  const events = opened({ A: rating(1), B: rating(5, { critical: 'held at the cap' }) });
  const states = events.reduce<EvaluationState[]>(
    (all, e) => [...all, apply(all.at(-1) ?? emptyEvaluation, e)],
    [],
  );
  const frozen = structuredClone(states[3]);
  expect(fold(events)).toEqual(states.at(-1));
  expect(states[3]).toEqual(frozen);
});

test('EV-5: a late rating is held, named with what stands, and decided once', () => {
  const state = fold(opened({ A: rating(1) }));
  const offer = decide(
    state,
    { type: 'offer-late', round: 1, ratings: [{ task: TASK, rating: rating(3) }] },
    context('A'),
  );
  if (!offer.ok) throw new Error(offer.rejection.message);
  expect(offer.value[0]).toMatchObject({ type: 'late-offered', data: { recorded: { step: 1 } } });
  const held = offer.value.reduce((s, e) => apply(s, stamp(e, 'A')), state);
  expect(held.ratings.get(TASK)?.get('A')?.rating.step).toBe(1);
  expect(lockConditions(held, protocol).find((c) => c.id === 'late')?.count).toBe(1);
  const late = [...held.late.keys()][0] ?? '';
  const admitted = decide(
    held,
    { type: 'decide-late', late, admit: true, reason: 'early' },
    context('mod'),
  );
  if (!admitted.ok) throw new Error(admitted.rejection.message);
  const after = admitted.value.reduce((s, e) => apply(s, stamp(e)), held);
  expect(after.ratings.get(TASK)?.get('A')).toMatchObject({ late: true, rating: { step: 3 } });
  expect(code(after, { type: 'decide-late', late, admit: true, reason: 'again' }, 'mod')).toBe(
    'already-decided',
  );
});

describe('interests', () => {
  test('IN-1: the maker or a rival takes out of all tasks, a tool out of its tasks, an item out of none', () => {
    const tie = (ties: Parameters<typeof excludedTasks>[0]['ties']) =>
      excludedTasks({ ties, familiarity: 'none' }, protocol);
    expect(tie([{ to: 'maker', detail: 'paid' }])).toHaveLength(30);
    expect(tie([{ to: 'rival', detail: 'paid' }])).toHaveLength(30);
    expect(tie([{ to: 'tool', tool: 'mask-cutter', detail: 'paid' }])).toEqual(['fm-cut-backup']);
    expect(tie([{ to: 'task', task: TASK, detail: 'mine' }])).toEqual([]);
  });

  test('IN-2 IN-3: an excluded rating does not count, and a moderator with the tie cannot settle or gate', () => {
    const excluded = (seat: string) =>
      stamp({ type: 'interest-declared', data: { seat, declaration: NONE, excluded: [TASK] } });
    const state = [excluded('A'), excluded('mod')].reduce(
      apply,
      fold(opened({ A: rating(5), B: rating(1) })),
    );
    expect(code(state, COMMANDS['settle-task'], 'mod')).toBe('interest-bars');
    expect(code(state, COMMANDS['decide-gate'], 'mod')).toBe('interest-bars');
    // A's worst point does not count, so no decision is owed for it.
    expect(lockConditions(state, protocol).find((c) => c.id === 'gates')?.count).toBe(0);
  });
});

test('EV-9: a median that moved since it was seen is not adopted unseen', () => {
  const state = fold(opened({ A: rating(1), B: rating(2), C: rating(2) }));
  const adopt = (value: string | null, how: 'adopt' | 'leave-open' = 'adopt') =>
    decide(
      state,
      { type: 'settle-task', task: TASK, how, value, reason: how === 'adopt' ? null : REASON },
      context('mod'),
    );
  expect(adopt('2')).toMatchObject({ ok: true, value: [{ data: { value: '2' } }] });
  expect(adopt(null)).toMatchObject({ ok: true, value: [{ data: { value: '2' } }] });
  for (const how of ['adopt', 'leave-open'] as const)
    expect(adopt('1.5', how)).toMatchObject({ ok: false, rejection: { code: 'median-changed' } });
});

test('GA-2 GA-3: a worst point opens a decision; confirming it says that no trial backs it', () => {
  const state = fold(opened({ A: rating(5), B: rating(1) }));
  expect(lockConditions(state, protocol).find((c) => c.id === 'gates')).toMatchObject({
    count: 1,
    first: TASK,
  });
  const decided = decide(state, COMMANDS['decide-gate'], context('mod'));
  expect(decided).toMatchObject({
    ok: true,
    value: [{ data: { confirmed: true, backedByTrials: false } }],
  });
});

test('LK-1 LK-2: nothing locks while something is open; then every figure is a decimal text', () => {
  const state = fold(opened({ A: rating(1), B: rating(1), C: rating(2) }));
  expect(code(state, COMMANDS.lock, 'mod')).toBe('not-ready-to-lock');
  const settled = apply(
    state,
    stamp({
      type: 'task-settled',
      data: { task: TASK, how: 'adopt', value: '1', old: null, reason: null },
    }),
  );
  const locked = decide(settled, COMMANDS.lock, context('mod'));
  if (!locked.ok) throw new Error(JSON.stringify(locked.rejection));
  const numbers: unknown[] = [];
  JSON.stringify(locked.value, (_k, v: unknown) => {
    if (typeof v === 'number' && !Number.isInteger(v)) numbers.push(v);
    return v;
  });
  expect(numbers).toEqual([]);
});

test('SE-1 SE-3: a sheet is its owner’s alone in every stage; the board closes with the lock', () => {
  for (const stage of STAGES) {
    const state: EvaluationState = {
      ...at('sealed'),
      created: { board: 'board' } as EvaluationState['created'],
      stage,
    };
    for (const role of ROLES) {
      const seat = role === 'moderator' ? 'mod' : role;
      const expected =
        seat !== 'reviewer' ? 'none' : stage === 'sealed' || stage === 'opened' ? 'write' : 'read';
      expect(documentMode(state, 'doc reviewer', seat, protocol), `${stage} ${role}`).toBe(
        expected,
      );
      const works = ['moderator', 'reviewer', 'recorder', 'operator'].includes(role);
      const over = stage === 'locked' || stage === 'withdrawn';
      const behind = stage === 'opened' && role === 'reviewer';
      const board = behind ? 'none' : works && !over ? 'write' : 'read';
      expect(documentMode(state, 'board', seat, protocol), `board ${stage} ${role}`).toBe(board);
    }
  }
});

test('SE-7: in a later round an unanswered task keeps the earlier rating, marked not re-rated', () => {
  const events = opened({ A: rating(4), B: rating(1) });
  const sheets = [{ seat: 'A', document: 'x' }];
  const state = fold([
    ...events,
    stamp({ type: 'round-started', data: { round: 2, tasks: [TASK], reason: null, sheets } }),
    stamp({ type: 'round-opened', data: { round: 2, missing: [] } }),
  ]);
  expect(state.ratings.get(TASK)?.get('A')?.rating.step).toBe(4);
  expect(wasNotReRated(state, TASK, 1)).toBe(true);
  expect(wasNotReRated(state, TASK, 2)).toBe(false);
});
