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

/** Composite of the means over a chosen set of columns. */
const over = (
  table: Source,
  sections: readonly CompositeSection[],
  use: (column: number) => boolean,
): Figure => {
  const means = new Map(
    table.tasks.map((task, i) => [
      task,
      mean(present((table.cells[i] ?? []).filter((_, j) => use(j)))),
    ]),
  );
  return composite(sections, (task) => means.get(task)).value;
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
  const value = over(table, sections, () => true);
  const byReviewer = table.reviewers.map((_, j) => over(table, sections, (c) => c === j));
  const leaveOneOut = table.reviewers.map((_, j) => over(table, sections, (c) => c !== j));
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
