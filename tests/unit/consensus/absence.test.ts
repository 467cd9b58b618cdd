import { describe, expect, test } from 'vitest';
import { absences, isDecisive } from '../../../server/src/consensus/absence.ts';
import { defaultRule } from '../../../server/src/consensus/divergence-rule.ts';
import { figure, noFigure } from '../../../server/src/consensus/figure.ts';
import type { RatingTable } from '../../../server/src/consensus/table.ts';
import { must } from '../../support/expect-figure.ts';

const scale = { min: 0, max: 5, better: 'lower' } as const;
const table: RatingTable = {
  scale,
  tasks: ['roll', 'mask', 'lift'],
  reviewers: ['A', 'B', 'C', 'D'],
  cells: [
    [1, 1, 1, 5],
    [2, 2, 2, 2],
    [0, 1, 4, undefined],
  ],
};
const sections = [{ id: 's', weight: 1, tasks: table.tasks.map((id) => ({ id, weight: 1 })) }];
const found = absences(table, sections, defaultRule(scale));

test('by hand: without D the first task has the mean 1 and no longer diverges', () => {
  // Means 2, 2 and 5/3 with everybody; 1, 2 and 5/3 without D.
  expect(must(found[3]?.change ?? noFigure(''))).toBeCloseTo(-1 / 3, 12);
  expect(found[3]?.flagsGone).toEqual(['roll']);
  expect(found[3]?.flagsNew).toEqual([]);
});

test('by hand: without C the third task no longer diverges, without A it still does', () => {
  expect(found[2]?.flagsGone).toEqual(['lift']);
  expect(found[0]?.flagsGone).toEqual([]);
});

test('a flag may begin when somebody in between is away', () => {
  const middle: RatingTable = {
    ...table,
    cells: [
      [0, 2, 4],
      [1, 1, 1],
    ],
    tasks: ['roll', 'mask'],
  };
  const without = absences({ ...middle, reviewers: ['A', 'B', 'C'] }, sections, {
    id: 'D1',
    lone: 3.5,
    split: null,
  });
  expect(without[1]?.flagsNew).toEqual(['roll']);
});

describe('a result that hangs on one person', () => {
  test.each([
    [0.25, true],
    [-0.25, true],
    [0.2499, false],
  ])('a change of %d on 0..5: %s', (change, decisive) => {
    expect(isDecisive(figure(change), scale)).toBe(decisive);
  });
  test('no change, nothing decisive', () => {
    expect(isDecisive(noFigure('no rating'), scale)).toBe(false);
  });
});
