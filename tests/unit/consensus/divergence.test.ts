import { describe, expect, test } from 'vitest';
import {
  distancesFromOthers,
  divergenceFlags,
  fewRatings,
  ratingFlags,
  type TaskAnswers,
} from '../../../server/src/consensus/divergence.ts';
import {
  defaultRule,
  lenientRule,
  strictRule,
} from '../../../server/src/consensus/divergence-rule.ts';

const scale = { min: 0, max: 5, better: 'lower' } as const;
const D1 = defaultRule(scale);

/** Ratings of reviewers A, B, C, ... */
const answers = (values: readonly number[], more: Partial<TaskAnswers> = {}): TaskAnswers => ({
  steps: values.map((value, i) => ({ reviewer: String.fromCharCode(65 + i), value })),
  notApplicable: [],
  critical: [],
  ...more,
});
const kinds = (values: readonly number[], rule = D1): string[] =>
  ratingFlags(answers(values), rule).map((f) => f.kind);

describe('constants', () => {
  test('on 0 to 5: 2.5 and 1', () => {
    expect(D1).toEqual({ id: 'D1', lone: 2.5, split: 1 });
    expect(strictRule(scale)).toEqual({ id: 'strict', lone: 3, split: null });
    expect(lenientRule(scale)).toEqual({ id: 'lenient', lone: 3, split: null });
  });
  test('on any scale: half its width and a sixth of its points, whatever its direction', () => {
    expect(defaultRule({ min: 1, max: 9, better: 'higher' })).toEqual({
      id: 'D1',
      lone: 4,
      split: 1.5,
    });
    expect(defaultRule({ ...scale, better: 'higher' })).toEqual(D1);
  });
});

test('distances from the median of the others', () => {
  expect(distancesFromOthers([0, 0, 5])).toEqual([2.5, 2.5, 5]);
  expect(distancesFromOthers([1, 4])).toEqual([3, 3]);
  expect(distancesFromOthers([3])).toEqual([0]);
});

describe('CO-1: rule D1', () => {
  test.each([
    ['honest noise', [2, 3, 2, 3], []],
    ['two points apart is no flag', [1, 1, 3], []],
    ['a lone voice exactly at the cut', [1, 1.5, 1.5, 4], ['lone-voice']],
    ['a lone voice just below it', [1, 2, 2, 4], []],
    ['a lone voice in a panel of twelve', [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 4], ['lone-voice']],
    ['halves three points apart', [1, 1, 4, 4], ['lone-voice', 'split-panel']],
    ['average deviation exactly 1: the comparison is strict', [1, 1, 3, 3], []],
    ['average deviation above 1', [0, 0, 2.4, 2.4], ['split-panel']],
    ['one rating', [5], []],
    ['none', [], []],
    ['two reviewers at the cut: one flag', [1, 3.5], ['lone-voice']],
    ['two reviewers below it', [1, 3], []],
  ])('%s: %j', (_, values, expected) => {
    expect(kinds(values)).toEqual(expected);
  });

  test('names everyone at the cut by its definition, and points at those apart from all', () => {
    expect(ratingFlags(answers([0, 0, 5]), D1)[0]).toEqual({
      kind: 'lone-voice',
      rule: 'D1',
      constants: { lone: 2.5, split: 1 },
      reviewers: ['A', 'B', 'C'],
      apart: ['C'],
      size: 5,
      ratings: 3,
    });
    expect(ratingFlags(answers([0, 0, 0, 0, 5, 4]), D1)[0]?.apart).toEqual(['E', 'F']);
    expect(ratingFlags(answers([0, 3]), D1)[0]?.apart).toEqual(['A', 'B']);
  });
  test('a split names nobody and is as large as the range', () => {
    const split = ratingFlags(answers([1, 1, 4, 4]), D1).find((f) => f.kind === 'split-panel');
    expect(split).toMatchObject({ reviewers: [], apart: [], size: 3 });
  });
  test('binary noise at the cut does not unflag', () => {
    const third = { id: 'D1', lone: 0.1 + 0.2, split: null } as const;
    expect(kinds([0, 0, 0.3], third)).toEqual(['lone-voice']);
  });
});

test('CO-1: constants read back from 12 digits flag the same tasks', () => {
  // On eight points the cut is 4/3, and the ratings -2, 0, 2 deviate by exactly that: no flag, the cut is strict.
  const cut = { id: 'D1', lone: 3.5, split: 1.33333333333 } as const;
  expect(kinds([2, -2, 0], cut)).toEqual([]);
  expect(kinds([2, -2, 0], { ...cut, split: 4 / 3 })).toEqual([]);
});

describe('CO-1: the other rules', () => {
  test.each([
    [[1, 2, 4], ['split-panel']],
    [[1, 2, 3], []],
    [[2], []],
  ])('strict looks at the range: %j', (values, expected) => {
    expect(kinds(values, strictRule(scale))).toEqual(expected);
  });
  test.each([
    [[1, 1, 1, 4], ['lone-voice']],
    [[1, 1, 4, 4], []],
    [[1, 2, 4], []],
  ])('lenient looks at the distance from the median of all: %j', (values, expected) => {
    expect(kinds(values, lenientRule(scale))).toEqual(expected);
  });
});

describe('CO-4: disputes beside the ratings', () => {
  const dispute = (a: TaskAnswers): [string, string[]][] =>
    divergenceFlags(a, D1).map((f) => [f.kind, f.reviewers]);

  test('a critical failure proposed by some and not by others who rated', () => {
    expect(dispute(answers([4, 4, 4], { critical: ['B'] }))).toEqual([
      ['critical-failure-dispute', ['B']],
    ]);
    expect(dispute(answers([4, 4], { critical: ['A', 'B'] }))).toEqual([]);
  });
  test('who did not rate does not dispute it', () => {
    expect(dispute(answers([4], { critical: ['A'], notApplicable: [] }))).toEqual([]);
  });
  test('rated by some, not applicable to others: the smaller side is named', () => {
    expect(dispute(answers([2, 2, 3], { notApplicable: ['X'] }))).toEqual([
      ['applicability-dispute', ['X']],
    ]);
    expect(dispute(answers([2], { notApplicable: ['X', 'Y'] }))).toEqual([
      ['applicability-dispute', ['A']],
    ]);
    expect(dispute(answers([2], { notApplicable: ['X'] }))).toEqual([
      ['applicability-dispute', ['X']],
    ]);
  });
  test('not applicable to everyone is agreement', () => {
    expect(dispute(answers([], { notApplicable: ['X', 'Y'] }))).toEqual([]);
  });
  test('trials that speak against a rating', () => {
    expect(dispute(answers([2, 2, 2], { contradicted: ['C'] }))).toEqual([
      ['evidence-against-rating', ['C']],
    ]);
    expect(dispute(answers([2, 2, 2], { contradicted: [] }))).toEqual([]);
  });
});

test('labels of few ratings', () => {
  expect([0, 1, 2, 3].map(fewRatings)).toEqual([
    'no rating',
    'single reviewer',
    'two reviewers',
    undefined,
  ]);
});

test('CO-4: a dispute that is no distance has the size 0 and no constants', () => {
  const rule = defaultRule({ min: 0, max: 5, better: 'lower' });
  const steps = [
    { reviewer: 'A', value: 1 },
    { reviewer: 'B', value: 1 },
  ];
  const flags = divergenceFlags({ steps, notApplicable: ['C'], critical: ['A'] }, rule);
  expect(flags).toMatchObject([
    { kind: 'critical-failure-dispute', size: 0, constants: null },
    { kind: 'applicability-dispute', size: 0, constants: null },
  ]);
});
