import { describe, expect, test } from 'vitest';
import {
  placeTrial,
  type MotionMapping,
  type Protocol,
  type TrialEntry,
  type TrialList,
} from '../../../shared-types/src/index.ts';
import { taskEvidence } from '../../../server/src/evaluation/evidence.ts';
import { MOTION_MAPPING } from '../../support/motion-file.ts';
import { contradictedReviewers } from '../../../server/src/evaluation/evidence-against.ts';
import {
  entryKey,
  FACE_MASK,
  failed,
  protocol,
  seatOf,
  trial,
  trialSource,
} from '../../support/trials.ts';

const SEAT = seatOf('a');
const listOf = (...entries: TrialEntry[]): TrialList =>
  entries.reduce<TrialList>(
    (list, entry) =>
      placeTrial(list, { key: entryKey(SEAT), seat: SEAT, entry, keptAt: entry.at }, () => false),
    new Map(),
  );
/** The protocol as it was before it named what measured values decide: the recorder's mark alone. */
const byMark: Protocol = {
  ...protocol,
  sections: protocol.sections.map((s) => ({
    ...s,
    tasks: s.tasks.map(({ criterion: _, ...t }) => t),
  })),
};
const evidenceOf = (...entries: TrialEntry[]) => evidenceUnder(protocol, FACE_MASK, ...entries);
const evidenceUnder = (p: Protocol, task: string, ...entries: TrialEntry[]) => {
  const found = taskEvidence(listOf(...entries), p, task);
  if (!found) throw new Error('there is no evidence');
  return found;
};
const reference = (operator: string, seconds: string, more: Partial<TrialEntry> = {}) =>
  trial({ condition: 'reference', operator, seconds, criterion: null, ...more });

describe('what counts', () => {
  test('trials with the equipment in the state the task is rated in; others are counted beside them', () => {
    const found = evidenceOf(
      trial(),
      failed(),
      trial({ state: 'mask-removed' }),
      trial({ condition: 'practice' }),
      trial({ condition: 'hidden-fault' }),
      reference('K1', '4'),
      trial({ task: 'chest-access' }),
    );
    expect(found).toMatchObject({ valid: 2, done: 1, state: 'as-worn' });
    expect(found.beside).toEqual({
      reference: 1,
      otherState: 1,
      withdrawn: 0,
      practice: 1,
      hiddenFault: 1,
      voided: 0,
    });
  });

  test('SR-8: what was measured in the trials that count, and how often from a file; nothing is filled in', () => {
    const turned = (value: string, more: Partial<TrialEntry> = {}) =>
      trial({
        measures: [
          { measure: 't_fm', value: '60', counts: null },
          { measure: 'theta_max', value, counts: null },
        ],
        ...more,
      });
    const found = evidenceOf(
      turned('12'),
      turned('20', { sources: [trialSource('theta_max')] }),
      turned('13', { done: false }),
      turned('90', { condition: 'practice' }),
      turned('80', { state: 'mask-removed' }),
      failed(),
    );
    expect(found.valid).toBe(4);
    // The task's own time stands apart: it may be censored.
    expect(found.measured).toEqual([
      {
        measure: 'theta_max',
        name: 'Largest helical angle from the start pose',
        unit: 'deg',
        decimals: 1,
        n: 3,
        median: 13,
        least: 12,
        most: 20,
        files: 1,
        caveats: [],
      },
    ]);
    expect(evidenceOf(trial()).measured).toEqual([]);
  });

  test('SR-9: helmet motion and motion in the room are said to be that, beside the rating', () => {
    const measures = [{ measure: 'theta_max', value: '12', counts: null }];
    const read = (change: Partial<MotionMapping>) =>
      evidenceOf(
        trial({
          measures,
          sources: [
            {
              ...trialSource('theta_max'),
              as: JSON.stringify({ kind: 'motion', mapping: { ...MOTION_MAPPING, ...change } }),
            },
          ],
        }),
      ).measured[0]?.caveats;
    expect(read({})).toEqual([]);
    expect(read({ tracked: 'helmet' })).toEqual(['helmet']);
    expect(read({ tracked: 'helmet', torso: null })).toEqual(['helmet', 'room']);
  });

  test('a task without a trial has no evidence', () => {
    expect(taskEvidence(listOf(trial()), protocol, 'chest-access')).toBeUndefined();
  });

  // Wilson limits of counts published by Swartz 2010 (48 of 48, 35 of 48); limits computed by hand from the formula.
  test.each([
    [48, 48, 0.9259, 1],
    [35, 48, 0.59003, 0.83434],
    [0, 2, 0, 0.65762],
  ])('share done %i of %i', (done, of, lower, upper) => {
    const trials = Array.from({ length: of }, (_, i) => (i < done ? trial() : failed()));
    const { share } = evidenceOf(...trials);
    expect(share?.value).toBe(done / of);
    expect(share?.lower).toBeCloseTo(lower, 5);
    expect(share?.upper).toBeCloseTo(upper, 5);
    if (done === 0) expect(share?.lower).toBe(0);
    if (done === of) expect(share?.upper).toBe(1);
  });
});

describe('TR-3: a trial that was not done is longer than any time', () => {
  const times = (...seconds: (string | null)[]) =>
    evidenceOf(...seconds.map((s) => (s === null ? failed() : trial({ seconds: s }))))
      .medianSeconds;

  test('it ranks last', () => {
    expect(times('30', '90', null)).toEqual({ value: 90 });
    expect(times('30', '90', '40', null)).toEqual({ value: 65 });
    expect(times('30')).toEqual({ value: 30 });
  });

  test('where the middle is such a trial there is no median, whatever the time it was stopped at', () => {
    const none = { why: 'half of the trials or more were not done' };
    expect(times('30', null)).toEqual(none);
    expect(times(null, null, '30')).toEqual(none);
    expect(evidenceOf(trial(), failed({ seconds: '1' })).medianSeconds).toEqual(none);
  });

  test('a done trial without a time says nothing of the time', () => {
    expect(evidenceOf(trial({ seconds: null })).medianSeconds).toEqual({ why: 'no timed trial' });
  });
});

describe('TR-3: trials beside the same task without the equipment', () => {
  test('operators who did both are pairs, each with the mean of its trials', () => {
    const { comparison } = evidenceOf(
      trial({ operator: 'K1', seconds: '40' }),
      trial({ operator: 'K1', seconds: '50' }),
      trial({ operator: 'K2', seconds: '30' }),
      trial({ operator: 'K3', seconds: '99' }),
      reference('K1', '15'),
      reference('K2', '10'),
    );
    // Differences 30 and 20: mean 25, half width t(0.975, 1) x 7.0711 / sqrt 2 = 12.7062 x 5. Ratios are both 3.
    expect(comparison).toMatchObject({ kind: 'paired', n: { equipment: 2, reference: 2 } });
    if (comparison.kind === 'none') throw new Error(comparison.why);
    expect(comparison.difference.value).toBeCloseTo(25, 10);
    expect(comparison.difference.lower).toBeCloseTo(25 - 63.531, 3);
    expect(comparison.ratio).toBeCloseTo(3, 10);
    expect(comparison.operatorRatio?.value).toBeCloseTo(3, 10);
  });

  test('an operator with a trial that was not done is left out and said, not given the cap', () => {
    const { comparison } = evidenceOf(
      trial({ operator: 'K1', seconds: '40' }),
      trial({ operator: 'K2', seconds: '30' }),
      trial({ operator: 'K3', seconds: '20' }),
      failed({ operator: 'K3' }),
      reference('K1', '10'),
      reference('K2', '10'),
      reference('K3', '10'),
    );
    expect(comparison).toMatchObject({ kind: 'paired', difference: { value: 25 } });
    if (comparison.kind === 'none') throw new Error(comparison.why);
    expect(comparison.notes.join(' ')).toMatch(/were not done have no time/u);
  });

  test('without two pairs the two groups are compared, and that is said', () => {
    const { comparison } = evidenceOf(
      trial({ operator: 'K1', seconds: '40' }),
      trial({ operator: 'K2', seconds: '60' }),
      reference('K8', '10'),
      reference('K9', '12'),
    );
    expect(comparison).toMatchObject({ kind: 'unpaired', difference: { value: 39 } });
    if (comparison.kind === 'none') throw new Error(comparison.why);
    expect(comparison.notes.join(' ')).toMatch(/Different people/u);
  });

  test('with too little there is a reason instead of a figure', () => {
    expect(evidenceOf(trial()).comparison).toEqual({
      kind: 'none',
      why: 'no trial without the equipment to compare with',
    });
    expect(evidenceOf(trial(), reference('K2', '4')).comparison.kind).toBe('none');
    expect(
      evidenceOf(trial(), trial({ condition: 'reference', seconds: null })).comparison,
    ).toEqual({
      kind: 'none',
      why: 'the trials without the equipment have no time to compare with',
    });
  });
});

describe('the trial criterion', () => {
  const status = (...entries: TrialEntry[]) => evidenceOf(...entries).criterion?.status;

  test('is met in at least two judged trials and at least half of them', () => {
    expect(status(failed())).toBe('not-enough-trials');
    expect(status(failed(), failed())).toBe('met');
    expect(status(failed(), failed(), trial(), trial())).toBe('met');
    expect(status(failed(), failed(), trial(), trial(), trial())).toBe('not-met');
    expect(status(failed(), trial())).toBe('not-met');
  });

  test('trials that nobody judged are no answer', () => {
    const unjudged = trial({ criterion: null });
    const marked = (...entries: TrialEntry[]) =>
      evidenceUnder(byMark, FACE_MASK, ...entries).criterion;
    expect(marked(failed(), unjudged, unjudged)?.status).toBe('not-enough-trials');
    expect(marked(failed(), unjudged)).toMatchObject({ judged: 1, met: 1 });
    expect(marked(failed(), unjudged)).not.toHaveProperty('measured');
  });

  test('TC-1: measured values answer where they can, the mark where they tell nothing', () => {
    const given = trial({ done: false, seconds: '70', criterion: true });
    const found = evidenceOf(
      failed({ criterion: false }),
      failed({ criterion: null }),
      trial({ criterion: true }),
      trial({ seconds: null, criterion: false }),
      given,
    ).criterion;
    // Still attached at 180 s twice; off at 60 s; no time, marked "no"; given up at 70 s, marked "yes".
    expect(found).toMatchObject({ status: 'met', met: 3, judged: 5, measured: 3, differs: 2 });
    const angle = (value: string) => ({ measure: 'theta_max', value, counts: null });
    const hold = (more: Partial<TrialEntry>) =>
      trial({ task: 'inline-hold', seconds: null, ...more });
    const held = evidenceUnder(
      protocol,
      'inline-hold',
      hold({ measures: [angle('20.5')] }),
      hold({ measures: [angle('20')], criterion: true }),
      hold({ measures: [angle('4')] }),
      hold({ criterion: null }),
    ).criterion;
    // More than 20 degrees; no hold kept, which no angle tells; nothing; not judged.
    expect(held).toMatchObject({ status: 'met', met: 2, judged: 3, measured: 2, differs: 1 });
  });

  test('TC-1: depth is held against the same operator without the equipment', () => {
    const depth = (value: string, more: Partial<TrialEntry> = {}) =>
      trial({
        task: 'cpr-compressions',
        seconds: null,
        criterion: null,
        measures: [{ measure: 'cc_depth_mm', value, counts: null }],
        ...more,
      });
    const without = depth('52', { condition: 'reference', state: 'all-removed' });
    const of = (...entries: TrialEntry[]) =>
      evidenceUnder(protocol, 'cpr-compressions', ...entries).criterion?.status;
    expect(of(depth('39'), depth('38'), without)).toBe('met');
    expect(of(depth('39'), depth('38'))).toBe('not-enough-trials');
    expect(of(depth('39'), depth('38'), { ...without, operator: 'K2' })).toBe('not-enough-trials');
  });

  test('TC-1: breaths are pooled; without counts the marks judge', () => {
    const breaths = (successes: number, of: number) =>
      trial({
        task: 'bvm-ventilation',
        state: 'mask-removed',
        seconds: null,
        criterion: null,
        measures: [
          { measure: 'p_vent', value: String((100 * successes) / of), counts: { successes, of } },
        ],
      });
    const under = (...entries: TrialEntry[]) =>
      evidenceUnder(protocol, 'bvm-ventilation', ...entries).criterion;
    const found = under(breaths(4, 16), breaths(5, 16));
    expect(found).toMatchObject({ status: 'met', met: 23, judged: 32, minTrials: 20 });
    expect(found?.pooled).toMatch(/^The trial criterion is met: 9 of 32 attempts/u);
    expect(under(breaths(5, 10))?.status).toBe('not-enough-trials');
    const marked = breaths(0, 1);
    const plain = { ...marked, measures: [], criterion: true };
    expect(under(plain, plain)).toMatchObject({ status: 'met', met: 2, judged: 2, minTrials: 2 });
  });
});

describe('TR-4: trials speak against a rating', () => {
  const steps = [0, 2, 3, 5].map((value) => ({ reviewer: String(value), value }));
  const against = (p: Protocol, ...entries: TrialEntry[]) =>
    contradictedReviewers(steps, taskEvidence(listOf(...entries), p, FACE_MASK), p);

  test('in the better half although they meet the criterion', () => {
    expect(against(protocol, failed(), failed())).toEqual(['0', '2']);
  });

  test('at the worst point although every one of enough trials was done and none met it', () => {
    expect(against(protocol, trial(), trial())).toEqual(['5']);
    expect(against(protocol, trial())).toEqual([]);
    expect(against(protocol, trial(), trial(), failed({ criterion: false }))).toEqual([]);
    expect(against(byMark, trial(), trial(), trial({ criterion: null }))).toEqual([]);
    expect(against(protocol, trial(), trial(), trial({ criterion: null }))).toEqual(['5']);
  });

  test('by the constants of the protocol, on either direction of its scale, or not at all', () => {
    const rule = (evidence: NonNullable<Protocol['divergence']['evidence']> | null): Protocol => ({
      ...protocol,
      divergence: { ...protocol.divergence, evidence },
    });
    expect(against(rule({ better: 1, worst: 0 }), failed(), failed())).toEqual(['0']);
    expect(against(rule({ better: 1, worst: 2 }), trial(), trial())).toEqual(['3', '5']);
    expect(against(rule(null), failed(), failed())).toEqual([]);
    const upward: Protocol = { ...protocol, scale: { ...protocol.scale, better: 'higher' } };
    expect(against(upward, failed(), failed())).toEqual(['3', '5']);
    expect(against(upward, trial(), trial())).toEqual(['0']);
  });
});
