import { describe, expect, test } from 'vitest';
import {
  completeRows,
  pointCount,
  present,
  ratedColumns,
  scalePoints,
  withoutCells,
  type RatingTable,
} from '../../../server/src/consensus/table.ts';

const table: RatingTable = {
  scale: { min: 0, max: 5, better: 'lower' },
  tasks: ['mask', 'airway', 'roll'],
  reviewers: ['A', 'B', 'C'],
  cells: [
    [1, undefined, 2],
    [3, undefined, 4],
    [undefined, undefined, 5],
  ],
};

describe('the scale', () => {
  test.each([
    [0, 5, [0, 1, 2, 3, 4, 5]],
    [-1, 1, [-1, 0, 1]],
    [1, 2, [1, 2]],
  ])('%i to %i has these points, used or not', (min, max, points) => {
    expect(scalePoints({ min, max, better: 'higher' })).toEqual(points);
    expect(pointCount({ min, max, better: 'higher' })).toBe(points.length);
  });
});

describe('absent cells', () => {
  test('a rating of 0 is present', () => {
    expect(present([0, undefined, 0.5])).toEqual([0, 0.5]);
  });
  test('a complete row has every rating', () => {
    expect(completeRows(table.cells)).toEqual([]);
    expect(completeRows(ratedColumns(table.cells))).toEqual([
      [1, 2],
      [3, 4],
    ]);
    expect(completeRows([[]])).toEqual([]);
  });
  test('a reviewer who rated nothing is no column; one who rated once is', () => {
    expect(ratedColumns(table.cells)).toEqual([
      [1, 2],
      [3, 4],
      [undefined, 5],
    ]);
    expect(ratedColumns([])).toEqual([]);
  });
});

describe('cells that a declared interest takes out', () => {
  test('only the named cells go; names, order and the given table stay', () => {
    const out = withoutCells(table, [
      { task: 'mask', reviewer: 'A' },
      { task: 'roll', reviewer: 'C' },
      { task: 'roll', reviewer: 'nobody' },
      { task: 'nothing', reviewer: 'A' },
    ]);
    expect(out.cells).toEqual([
      [undefined, undefined, 2],
      [3, undefined, 4],
      [undefined, undefined, undefined],
    ]);
    expect(out.reviewers).toEqual(table.reviewers);
    expect(table.cells[0]?.[0]).toBe(1);
  });
});
