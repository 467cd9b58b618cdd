import { composite, type CompositeSection } from './composite.ts';
import { tQuantile } from './distributions.ts';
import { figure, noFigure, valueOf, type Figure } from './figure.ts';
import { mean, variance } from './mean.ts';
import { present, type RatingTable } from './table.ts';

export interface Interval {
  lower: number;
  upper: number;
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

const spreadInterval = (
  centre: number,
  values: readonly number[],
  method: Interval['method'],
): Figure<Interval> => {
  const k = values.length;
  const half = (tQuantile(0.975, k - 1) * Math.sqrt(variance(values) ?? 0)) / Math.sqrt(k);
  return figure({ lower: centre - half, upper: centre + half, method });
};

/**
 * CO-3: the interval is t on the reviewers' own composites (k - 1 degrees of freedom) when no cell is absent
 * among the rated tasks, else t on the jackknife pseudo-values k C - (k-1) C(-j). Two reviewers or fewer have
 * none: t with one degree of freedom would span the scale.
 * Sources: simulation of coverage for 3 to 12 reviewers; Quenouille and Tukey's jackknife (from memory).
 */
export const compositeOfMeans = (
  table: Source,
  sections: readonly CompositeSection[],
): CompositeOfMeans => {
  const k = table.reviewers.length;
  const value = over(table, sections, () => true);
  const byReviewer = table.reviewers.map((_, j) => over(table, sections, (c) => c === j));
  const leaveOneOut = table.reviewers.map((_, j) => over(table, sections, (c) => c !== j));
  const complete = table.cells.every((row) => {
    const count = present(row).length;
    return count === 0 || count === k;
  });
  return {
    value,
    byReviewer,
    leaveOneOut,
    interval: intervalOf(value, complete ? byReviewer : undefined, leaveOneOut),
  };
};

const intervalOf = (
  value: Figure,
  own: readonly Figure[] | undefined,
  without: readonly Figure[],
): Figure<Interval> => {
  if (!value.ok) return value;
  const k = without.length;
  if (k < 3) return noFigure('too few reviewers for an interval');
  if (own) {
    const composites = own.map(valueOf).filter((x) => x !== undefined);
    return spreadInterval(value.value, composites, 't');
  }
  const rest = without.map(valueOf).filter((x) => x !== undefined);
  if (rest.length < k) return noFigure('without one reviewer no rated task is left');
  const pseudo = rest.map((c) => k * value.value - (k - 1) * c);
  return spreadInterval(value.value, pseudo, 'jackknife-t');
};
