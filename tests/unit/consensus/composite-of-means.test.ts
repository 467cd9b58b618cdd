import { describe, expect, test } from 'vitest';
import type { CompositeSection } from '../../../server/src/consensus/composite.ts';
import { compositeOfMeans } from '../../../server/src/consensus/composite-of-means.ts';
import { tInterval } from '../../../server/src/consensus/t-interval.ts';
import type { RatingCells } from '../../../server/src/consensus/table.ts';
import { expectFigure, must } from '../../support/expect-figure.ts';
import { near } from '../../support/reference.ts';

const sections: CompositeSection[] = [
  {
    id: 's',
    weight: 1,
    tasks: [
      { id: 't0', weight: 1 },
      { id: 't1', weight: 1 },
    ],
  },
];
const of = (cells: RatingCells) =>
  compositeOfMeans(
    {
      tasks: cells.map((_, i) => `t${String(i)}`),
      reviewers: (cells[0] ?? []).map((_, j) => `R${String(j)}`),
      cells,
    },
    sections,
  );

describe('t interval', () => {
  test('by hand: 1, 2, 3 is 2 +- 4.302653 / sqrt(3), from any printed table', () => {
    const { lower, upper } = must(tInterval([1, 2, 3]));
    near(lower, 2 - 4.302652729749464 / Math.sqrt(3), 'lower', 1e-10);
    near(upper, 2 + 4.302652729749464 / Math.sqrt(3), 'upper', 1e-10);
  });
  test('another level and another centre', () => {
    // t(0.95, 2) = 2.919986.
    const { lower, upper } = must(tInterval([1, 2, 3], 0.9, 5));
    near(upper - 5, 2.919985580353726 / Math.sqrt(3), 'half', 1e-10);
    near(5 - lower, 2.919985580353726 / Math.sqrt(3), 'half', 1e-10);
  });
  test('reviewers who agree fully leave no width', () => {
    expect(must(tInterval([2.5, 2.5, 2.5]))).toEqual({ lower: 2.5, upper: 2.5 });
  });
  test.each([
    [[], 'no reviewer rated'],
    [[2], 'a single reviewer has no interval'],
    [[2, 3], 'two reviewers are too few for an interval'],
  ])('%j: none', (values, why) => {
    expect(tInterval(values)).toEqual({ ok: false, why });
  });
});

describe('CO-3: composite of the means', () => {
  test('complete: t on the own composites', () => {
    const found = of([
      [1, 2, 3],
      [1, 2, 3],
    ]);
    expectFigure(found.value, 2, 'composite');
    expect(found.byReviewer.map(must)).toEqual([1, 2, 3]);
    expect(found.leaveOneOut.map(must)).toEqual([2.5, 2, 1.5]);
    expect(must(found.interval).method).toBe('t');
    expect(must(found.interval).lower).toBe(must(tInterval([1, 2, 3])).lower);
  });
  test('a task nobody rated is no absent cell', () => {
    const found = of([
      [1, 2, 3],
      [undefined, undefined, undefined],
    ]);
    expect(must(found.interval).method).toBe('t');
  });
  test('absent cells: t on the jackknife pseudo-values, by hand', () => {
    const found = of([
      [1, 2, 3],
      [undefined, 2, 5],
    ]);
    // C = (2 + 3.5) / 2 = 2.75; without R0 (2.5 + 3.5) / 2 = 3, R1 (2 + 5) / 2 = 3.5, R2 (1.5 + 2) / 2 = 1.75.
    expect(found.leaveOneOut.map(must)).toEqual([3, 3.5, 1.75]);
    const pseudo = [3, 3.5, 1.75].map((c) => 3 * 2.75 - 2 * c);
    const ends = must(tInterval(pseudo, 0.95, 2.75));
    expect(must(found.interval)).toEqual({ ...ends, method: 'jackknife-t' });
  });
  test('on complete tables the jackknife is the t interval', () => {
    const cells = [
      [1, 2, 4, 2],
      [3, 0, 5, 1],
    ];
    const found = of(cells);
    const pseudo = found.leaveOneOut.map((c) => 4 * must(found.value) - 3 * must(c));
    near(must(tInterval(pseudo)).upper, must(found.interval).upper, 'upper', 1e-12);
  });
  test('a reviewer without any rating changes nothing and is not counted', () => {
    const three = of([
      [1, 2, 3],
      [2, 2, 5],
    ]);
    const four = of([
      [1, 2, 3, undefined],
      [2, 2, 5, undefined],
    ]);
    expect(four.interval).toEqual(three.interval);
    expect(four.byReviewer[3]?.ok).toBe(false);
    expect(four.leaveOneOut[3]).toEqual(three.value);
  });
  test.each([
    [
      'two reviewers',
      [
        [1, 2],
        [1, 3],
      ],
    ],
    ['one reviewer', [[1], [2]]],
    [
      'two who rated and one who did not',
      [
        [1, 2, undefined],
        [1, 3, undefined],
      ],
    ],
  ])('%s: a composite without an interval', (_, cells) => {
    const found = of(cells);
    expect(found.value.ok).toBe(true);
    expect(found.interval).toEqual({ ok: false, why: 'too few reviewers for an interval' });
  });
  test('nobody rated: no composite, no interval', () => {
    const found = of([[undefined, undefined, undefined]]);
    expect(found.value.ok).toBe(false);
    expect(found.interval).toEqual({ ok: false, why: 'no rated task carries weight' });
  });
});
