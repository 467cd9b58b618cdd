import { expect, test } from 'vitest';
import { ratingSource } from '../../../server/src/analysis/rating-source.ts';
import { readRatingList } from '../../../server/src/analysis/read-rating-list.ts';
import type { RatingScale } from '../../../server/src/consensus/table.ts';

const scale: RatingScale = { min: 0, max: 5, better: 'lower' };

const sourceOf = (...lines: string[]) => {
  const list = readRatingList(lines.join('\n'), scale);
  if (!list.ok) throw new Error(JSON.stringify(list.faults));
  return ratingSource(list.ratings, scale);
};

test('the last round with a rating counts; an unanswered task keeps the earlier one', () => {
  const { table, rounds } = sourceOf(
    'task,reviewer,rating,round',
    'roll,A,1,1',
    'roll,B,4,1',
    'mask,A,2,1',
    'roll,A,2,2',
    'roll,B,,2',
  );
  expect(table.cells).toEqual([
    [2, 4],
    [2, undefined],
  ]);
  expect(rounds.map((r) => r.cells[0])).toEqual([
    [1, 4],
    [2, undefined],
  ]);
});

test('trials: the reviewer counts with their mean, each trial is a unit of agreement', () => {
  const { table, units, trials } = sourceOf(
    'task,reviewer,rating,trial',
    'roll,A,1,first',
    'roll,A,2,second',
    'roll,B,3,first',
  );
  expect(table.cells).toEqual([[1.5, 3]]);
  expect(units).toEqual([
    [1, 3],
    [2, undefined],
  ]);
  expect(trials).toEqual([[[1, 2], [3]]]);
});

test('weights stay within their section, whose own weight is their sum', () => {
  const { sections } = sourceOf(
    'task,reviewer,rating,section,weight',
    'roll,A,1,turning,2',
    'still,A,1,turning,',
    'mask,A,2,,3',
  );
  expect(sections).toEqual([
    {
      id: 'turning',
      weight: 3,
      tasks: [
        { id: 'roll', weight: 2 },
        { id: 'still', weight: 1 },
      ],
    },
    { id: 'all tasks', weight: 3, tasks: [{ id: 'mask', weight: 3 }] },
  ]);
});
