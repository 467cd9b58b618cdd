import { composite, type CompositeSection } from './composite.ts';
import { figure, noFigure, valueOf, type Figure } from './figure.ts';
import { mean } from './mean.ts';
import { present, type RatingTable } from './table.ts';
import { tInterval, type TInterval } from './t-interval.ts';

export interface Interval extends TInterval {
  method: 't' | 'jackknife-t';
}

/** The composite of the reviewers' mean ratings, and how much it hangs on who was there. */
export interface CompositeOfMeans {
  value: Figure;
  /** 95 %, centred on `value`; not clipped to the scale. */
  interval: Figure<Interval>;
  /** Each reviewer's own composite, in table order. */
  byReviewer: Figure[];
  /** The composite without each reviewer, in table order. */
  leaveOneOut: Figure[];
}

type Source = Pick<RatingTable, 'tasks' | 'reviewers' | 'cells'>;

type Row = readonly (number | undefined)[];

/** The composite of one value a task, taken from its row of ratings. */
const over = (
  rowOf: ReadonlyMap<string, number>,
  sections: readonly CompositeSection[],
  valueOfRow: (row: number) => number | undefined,
): Figure =>
  composite(sections, (task) => {
    const row = rowOf.get(task);
    return row === undefined ? undefined : valueOfRow(row);
  }).value;

/**
 * A row's mean without the rating of one reviewer. Sums of half points are exact, so there taking one away gives
 * to the last digit what summing the others would; other values are summed anew.
 */
export const meanWithout = (row: Row): ((column: number) => number | undefined) => {
  const values = present(row);
  const whole = mean(values);
  const exact = values.every((x) => Number.isInteger(2 * x) && Math.abs(x) < 2 ** 20);
  const total = values.reduce((sum, x) => sum + x, 0);
  return (column) => {
    const own = row[column];
    if (own === undefined) return whole;
    if (values.length < 2) return undefined;
    if (exact) return (total - own) / (values.length - 1);
    return mean(present(row.filter((_, j) => j !== column)));
  };
};

/**
 * CO-3: the interval is t on the reviewers' own composites (k - 1 degrees of freedom) when no cell is absent
 * among the rated tasks, else t on the jackknife pseudo-values k C - (k-1) C(-j); k counts the reviewers with
 * a rating. Two reviewers or fewer have none: t with one degree of freedom would span the scale.
 * Sources: simulation of coverage for 3 to 12 reviewers; Quenouille and Tukey's jackknife (from memory).
 */
export const compositeOfMeans = (
  table: Source,
  sections: readonly CompositeSection[],
): CompositeOfMeans => {
  const { cells } = table;
  const without = cells.map(meanWithout);
  const rowOf = new Map(table.tasks.map((task, i) => [task, i]));
  const value = over(rowOf, sections, (i) => mean(present(cells[i] ?? [])));
  const byReviewer = table.reviewers.map((_, j) => over(rowOf, sections, (i) => cells[i]?.[j]));
  const leaveOneOut = table.reviewers.map((_, j) => over(rowOf, sections, (i) => without[i]?.(j)));
  return {
    value,
    byReviewer,
    leaveOneOut,
    interval: intervalOf(table, value, byReviewer, leaveOneOut),
  };
};

const intervalOf = (
  table: Source,
  value: Figure,
  byReviewer: readonly Figure[],
  leaveOneOut: readonly Figure[],
): Figure<Interval> => {
  if (!value.ok) return value;
  const rated = table.reviewers.flatMap((_, j) =>
    table.cells.some((row) => row[j] !== undefined) ? [j] : [],
  );
  const k = rated.length;
  if (k < 3) return noFigure('too few reviewers for an interval');
  const complete = table.cells.every((row) => [0, k].includes(present(row).length));
  const source = complete ? byReviewer : leaveOneOut;
  const values = rated.flatMap((j) => {
    const c = source[j] && valueOf(source[j]);
    if (c === undefined) return [];
    return complete ? [c] : [k * value.value - (k - 1) * c];
  });
  if (values.length < k) return noFigure('without one reviewer no rated task is left');
  const ends = tInterval(values, 0.95, value.value);
  return ends.ok ? figure({ ...ends.value, method: complete ? 't' : 'jackknife-t' }) : ends;
};
