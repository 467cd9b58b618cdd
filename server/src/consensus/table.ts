/** Ratings of one round: rows are tasks, columns reviewers, `undefined` is an absent cell. */
export interface RatingTable {
  scale: RatingScale;
  tasks: readonly string[];
  reviewers: readonly string[];
  cells: RatingCells;
}

/** The cells alone, for figures that need neither names nor scale. */
export type RatingCells = readonly (readonly (number | undefined)[])[];

/** An integer scale of 2 to 11 points; values in a table may be half points once settled. */
export interface RatingScale {
  min: number;
  max: number;
  better: 'lower' | 'higher';
}

/** Number of points on the scale. */
export const pointCount = (scale: RatingScale): number => scale.max - scale.min + 1;

/** Every point of the scale in ascending order, used or not. */
export const scalePoints = (scale: RatingScale): number[] =>
  Array.from({ length: pointCount(scale) }, (_, i) => scale.min + i);

/** The ratings present in one row, in reviewer order. */
export const present = (row: readonly (number | undefined)[]): number[] =>
  row.filter((x) => x !== undefined);

/** The rows without an absent cell, for figures that need a complete table. */
export const completeRows = (cells: RatingCells): number[][] =>
  cells.flatMap((row) => {
    const values = present(row);
    return values.length === row.length && row.length > 0 ? [values] : [];
  });

/** The table without reviewers who rated nothing at all: they must not make every row incomplete. */
export const ratedColumns = (cells: RatingCells): RatingCells => {
  const rated = new Set(
    cells.flatMap((row) => row.flatMap((x, column) => (x === undefined ? [] : [column]))),
  );
  return cells.map((row) => row.filter((_, column) => rated.has(column)));
};

/**
 * The table without the cells a rule takes out (a declared interest is per reviewer and task); the reviewers
 * stay, so figures with and without line up. Names that are not in the table take out nothing.
 */
export const withoutCells = (
  table: RatingTable,
  excluded: readonly { task: string; reviewer: string }[],
): RatingTable => {
  const out = new Map<string, Set<string>>();
  for (const { task, reviewer } of excluded) {
    out.set(task, (out.get(task) ?? new Set()).add(reviewer));
  }
  return {
    ...table,
    cells: table.tasks.map((task, i) =>
      table.reviewers.map((reviewer, j) =>
        out.get(task)?.has(reviewer) ? undefined : table.cells[i]?.[j],
      ),
    ),
  };
};
