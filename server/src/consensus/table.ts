/** Ratings of one round: rows are tasks, columns reviewers, `undefined` is an absent cell. */
export interface RatingTable {
  scale: RatingScale;
  tasks: readonly string[];
  reviewers: readonly string[];
  cells: readonly (readonly (number | undefined)[])[];
}

/** An integer scale of 2 to 11 points; values in a table may be half points once settled. */
export interface RatingScale {
  min: number;
  max: number;
  better: 'lower' | 'higher';
}

/** Number of points on the scale. */
export const pointCount = (scale: RatingScale): number => scale.max - scale.min + 1;

/** The ratings present in one row, in reviewer order. */
export const present = (row: readonly (number | undefined)[]): number[] =>
  row.filter((x) => x !== undefined);

/** The rows without an absent cell, for figures that need a complete table. */
export const completeRows = (cells: RatingTable['cells']): number[][] =>
  cells.flatMap((row) => {
    const values = present(row);
    return values.length === row.length && row.length > 0 ? [values] : [];
  });
