import { describe, expect, test } from 'vitest';
import {
  appropriateness,
  appropriatenessConstants,
  thirdsDisagreement,
  thirdsNeeded,
} from '../../../server/src/consensus/appropriateness.ts';
import { must } from '../../support/expect-figure.ts';

const six = { min: 0, max: 5, better: 'lower' } as const;
const nine = { min: 1, max: 9, better: 'higher' } as const;

test('constants: as published on nine points, 1.46875 and 1.5 on 0 to 5', () => {
  expect(appropriatenessConstants(nine)).toEqual({ range: 2.35, factor: 1.5 });
  expect(appropriatenessConstants(six)).toEqual({ range: 1.46875, factor: 1.5 });
});

describe('interpercentile range', () => {
  test('both ends and nothing between: disagreement', () => {
    expect(must(appropriateness([0, 0, 0, 5, 5, 5], six)).disagreement).toBe(true);
  });
  test('the same spread off the middle is allowed for', () => {
    expect(must(appropriateness([3, 3, 4, 5, 5], six)).disagreement).toBe(false);
  });
  test('a spread that equals the allowance agrees: the rule is strict', () => {
    const found = must(appropriateness([1, 1, 4, 4], six, { range: 3, factor: 1.5 }));
    expect([found.ipr, found.ipras, found.disagreement]).toEqual([3, 3, false]);
  });
  test('below four ratings it is not used', () => {
    expect(appropriateness([0, 5, 5], six)).toEqual({ ok: false, why: 'fewer than 4 ratings' });
  });
});

describe('thirds', () => {
  test.each([
    [[0, 1, 2, 4, 5, 3], true],
    [[0, 2, 2, 4, 5, 3], false],
    [[0, 1, 5], true],
    [[0, 2, 5], true],
    [[2, 3, 5], false],
    [[0, 1, 1, 2, 2, 4, 5], false],
  ])('on 0 to 5, %j: %s', (values, expected) => {
    expect(must(thirdsDisagreement(values, six))).toBe(expected);
  });
  test('on five points the middle one belongs to neither end', () => {
    const five = { min: 1, max: 5, better: 'higher' } as const;
    expect(must(thirdsDisagreement([1, 3, 3], five))).toBe(false);
    expect(must(thirdsDisagreement([2, 3, 4], five))).toBe(true);
  });
  test('two reviewers are no panel to be split in thirds', () => {
    expect(thirdsDisagreement([0, 5], six)).toEqual({ ok: false, why: 'fewer than three ratings' });
  });
});

describe('how many make an end third', () => {
  test.each([
    [3, 1],
    [4, 2],
    [5, 2],
    [6, 2],
    [7, 3],
  ])('a panel of %i, smaller than the table: a whole third, %i', (n, needed) => {
    expect(thirdsNeeded(n)).toBe(needed);
  });
  test.each([
    [17, 6],
    [19, 6],
    [20, 7],
    [30, 10],
  ])('a panel of %i, larger than the table: its rows go on, %i', (n, needed) => {
    expect(thirdsNeeded(n)).toBe(needed);
  });
});
