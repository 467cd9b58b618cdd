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
const evidenceOf = (...entries: TrialEntry[]) => {
  const found = taskEvidence(listOf(...entries), protocol, FACE_MASK);
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
    expect(status(failed(), unjudged, unjudged)).toBe('not-enough-trials');
    expect(evidenceOf(failed(), unjudged).criterion).toMatchObject({ judged: 1, met: 1 });
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
    expect(against(protocol, trial(), trial(), trial({ criterion: null }))).toEqual([]);
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
