/** Mean squares of a complete two-way table, rows tasks, columns reviewers, one rating a cell. */
export interface MeanSquares {
  tasks: number;
  reviewers: number;
  /** Between tasks, between reviewers, residual, within tasks. */
  msTasks: number;
  msReviewers: number;
  msResidual: number;
  msWithin: number;
}

/** Undefined with fewer than two tasks or reviewers. Sums are taken about the grand mean, so nothing cancels. */
export const meanSquares = (rows: readonly (readonly number[])[]): MeanSquares | undefined => {
  const n = rows.length;
  const k = rows[0]?.length ?? 0;
  if (n < 2 || k < 2) return undefined;
  const grand = rows.flat().reduce((sum, x) => sum + x, 0) / (n * k);
  const taskMeans = rows.map((row) => row.reduce((sum, x) => sum + x, 0) / k);
  const reviewerMeans = Array.from(
    { length: k },
    (_, j) => rows.reduce((sum, row) => sum + (row[j] ?? 0), 0) / n,
  );
  const ssTasks = k * taskMeans.reduce((sum, m) => sum + (m - grand) ** 2, 0);
  const ssReviewers = n * reviewerMeans.reduce((sum, m) => sum + (m - grand) ** 2, 0);
  let ssResidual = 0;
  rows.forEach((row, i) => {
    row.forEach((x, j) => {
      ssResidual += (x - (taskMeans[i] ?? 0) - (reviewerMeans[j] ?? 0) + grand) ** 2;
    });
  });
  return {
    tasks: n,
    reviewers: k,
    msTasks: ssTasks / (n - 1),
    msReviewers: ssReviewers / (k - 1),
    msResidual: ssResidual / ((n - 1) * (k - 1)),
    msWithin: (ssReviewers + ssResidual) / (n * (k - 1)),
  };
};
