import { figure, noFigure, type Figure } from './figure.ts';
import { mean, variance } from './mean.ts';
import { present } from './table.ts';

/**
 * Mandel's h of each reviewer in one row of single ratings: (x - mean) / s over the reviewers. Bounded by
 * (p - 1) / sqrt(p), so with three reviewers it can hardly signal. Undefined for a cell that is absent, below
 * three ratings, and where all are alike. Source: ISO 5725-2 and ASTM E691.
 */
export const mandelH = (row: readonly (number | undefined)[]): (number | undefined)[] => {
  const values = present(row);
  const centre = mean(values);
  const s2 = variance(values);
  if (values.length < 3 || centre === undefined || s2 === undefined || s2 === 0) {
    return row.map(() => undefined);
  }
  return row.map((x) => (x === undefined ? undefined : (x - centre) / Math.sqrt(s2)));
};

/** One reviewer's h over all tasks: a run of one sign is a habit, not chance. */
export interface MandelProfile {
  mean: number;
  /** Tasks with an h, and those in which the reviewer stands above and below the panel. */
  tasks: number;
  above: number;
  below: number;
}

/** Profile of the reviewer in `column`. Undefined when no task has an h. */
export const mandelProfile = (
  h: readonly (readonly (number | undefined)[])[],
  column: number,
): Figure<MandelProfile> => {
  const values = h.flatMap((row) => row[column] ?? []);
  const average = mean(values);
  if (average === undefined) return noFigure('no task with three ratings that differ');
  return figure({
    mean: average,
    tasks: values.length,
    above: values.filter((x) => x > 0).length,
    below: values.filter((x) => x < 0).length,
  });
};
