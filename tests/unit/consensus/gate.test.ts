import { describe, expect, test } from 'vitest';
import { trialCriterionMet, verdict } from '../../../server/src/consensus/gate.ts';

describe('GA-1: only a confirmation gates', () => {
  test('confirmed tasks are named, in protocol order', () => {
    const decided = [
      { task: 'airway', confirmed: true },
      { task: 'roll', confirmed: false },
      { task: 'mask', confirmed: true },
    ];
    expect(verdict(decided)).toEqual({ kind: 'care-was-blocked', tasks: ['airway', 'mask'] });
  });
  test('decisions against a failure, and no decision, leave it open', () => {
    const none = { kind: 'no-confirmed-critical-failure', tasks: [] };
    expect(verdict([])).toEqual(none);
    expect(verdict([{ task: 'airway', confirmed: false }])).toEqual(none);
  });
});

describe('GA-1: a trial criterion', () => {
  test.each([
    [0, 2, 'not-enough-trials'],
    [2, 2, 'not-enough-trials'],
    [3, 3, 'met'],
    [3, 4, 'met'],
    [3, 5, 'met'],
    [2, 5, 'not-met'],
    [3, 6, 'not-met'],
  ])('%i of %i valid trials, asking for 3 and 60 %%: %s', (met, valid, expected) => {
    expect(trialCriterionMet(met, valid, 3, 0.6)).toBe(expected);
  });
});
