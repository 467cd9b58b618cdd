import { describe, expect, test } from 'vitest';
import { icc } from '../../../server/src/consensus/icc.ts';
import { must } from '../../support/expect-figure.ts';

describe('when there is no intraclass correlation', () => {
  test.each([
    ['one reviewer', [[1], [2], [3]], 'fewer than two reviewers'],
    [
      'an empty second column',
      [
        [1, undefined],
        [2, undefined],
      ],
      'fewer than two reviewers',
    ],
    [
      'one complete task',
      [
        [1, 2],
        [2, undefined],
      ],
      'fewer than two tasks rated by every reviewer',
    ],
    [
      'one value',
      [
        [2, 2],
        [2, 2],
      ],
      'no variation: every rating is the same',
    ],
    ['nothing', [], 'fewer than two reviewers'],
  ])('%s', (_, cells, why) => {
    expect(icc(cells)).toEqual({ ok: false, why });
  });
  test('ratings that cancel leave the forms without a between-task variance undefined', () => {
    const { forms } = must(
      icc([
        [0, 1],
        [1, 0],
      ]),
    );
    expect(forms['3,k']).toEqual({ ok: false, why: 'the tasks differ too little for this form' });
    expect(forms['2,1'].ok).toBe(false);
    // One-way: MSB 0, MSW 1/2: -1 exactly.
    expect(must(forms['1,1']).estimate).toBeCloseTo(-1, 12);
    expect(must(forms['1,1']).interval.ok).toBe(true);
  });
});

describe('edges', () => {
  test('reviewers who differ by a constant: consistency 1, F without limit, no interval', () => {
    const { forms } = must(
      icc([
        [0, 2],
        [1, 3],
        [3, 5],
      ]),
    );
    const f = must(forms['3,1']);
    expect(f.estimate).toBeCloseTo(1, 12);
    expect(f.test).toEqual({ ok: false, why: 'no residual variation: F has no limit' });
    expect(f.interval.ok).toBe(false);
    expect(must(forms['2,1']).estimate).toBeLessThan(1);
    expect(must(forms['1,1']).interval.ok).toBe(true);
  });
  test('tasks with an absent cell are left out and counted; an empty column is not', () => {
    const found = must(
      icc([
        [1, 2, undefined],
        [3, 3, undefined],
        [undefined, 5, undefined],
        [0, 1, undefined],
      ]),
    );
    expect([found.tasks, found.leftOut, found.reviewers]).toEqual([3, 1, 2]);
  });
  test('the mean form has no value where its divisor falls below zero', () => {
    // Found by the property run of seed 20260101: the ratio would be 2.69.
    const { forms } = must(
      icc([
        [-2, 0, 0, 0, 0, 0, 0],
        [1, 0, 0, -1, -1, 0, 0],
      ]),
    );
    expect(forms['2,k']).toEqual({ ok: false, why: 'the tasks differ too little for this form' });
    expect(must(forms['2,1']).estimate).toBeLessThan(0);
  });
  test('nor have its limits an end where the single form falls to -1 / (k - 1)', () => {
    const { forms } = must(
      icc([
        [0, 1],
        [4, 0],
      ]),
    );
    expect(must(forms['2,k']).estimate).toBeCloseTo(-16, 12);
    expect(must(forms['2,k']).interval.ok).toBe(false);
    expect(must(forms['2,1']).interval.ok).toBe(true);
  });
  test('tasks that differ less than chance: the estimate is negative, as it is', () => {
    const { forms } = must(
      icc([
        [0, 5],
        [5, 0],
        [1, 4],
        [4, 2],
      ]),
    );
    expect(must(forms['3,1']).estimate).toBeLessThan(0);
  });
});
