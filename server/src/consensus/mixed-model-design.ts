/** One random factor: the level (0-based) that each observation belongs to. */
export interface RandomFactor {
  levels: readonly number[];
  size: number;
}

/**
 * What the mixed-model equations of y = mean + random factors + residual count, whatever the variances are:
 * made once, scaled at every step. The largest factor is absorbed (its block is diagonal), so only the mean
 * and the other factors are dense columns: n tasks and k reviewers cost O(n k^2), not O((n + k)^3).
 */
export interface ModelDesign {
  observations: number;
  factors: readonly RandomFactor[];
  /** Index of the absorbed factor, -1 without factors. */
  absorbed: number;
  /** First dense column of each factor (-1 for the absorbed one); column 0 is the mean. */
  offset: readonly number[];
  columns: number;
  /** Dense column of each observation in each factor that is not absorbed; the mean's is left out. */
  places: readonly Int32Array[];
  /** Level of each observation in the absorbed factor; empty without factors. */
  own: Int32Array;
  /** Observations that two dense columns share (columns x columns). */
  dense: Float64Array;
  /** Observations that a level of the absorbed factor shares with a dense column (levels x columns). */
  coupling: Float64Array;
  /** Observations of each level of the absorbed factor. */
  counts: Float64Array;
}

const largest = (factors: readonly RandomFactor[]): number =>
  factors.reduce((best, f, i) => (best < 0 || f.size > (factors[best]?.size ?? 0) ? i : best), -1);

const bump = (counts: Float64Array, at: number): void => {
  counts[at] = (counts[at] ?? 0) + 1;
};

/** Counts the design of a table of observations. Levels must lie below their factor's size. */
export const modelDesign = (
  observations: number,
  factors: readonly RandomFactor[],
): ModelDesign => {
  const absorbed = largest(factors);
  let columns = 1;
  const offset = factors.map((f, i) => {
    if (i === absorbed) return -1;
    columns += f.size;
    return columns - f.size;
  });
  const places = factors.flatMap((f, i) =>
    i === absorbed ? [] : [Int32Array.from(f.levels, (level) => (offset[i] ?? 0) + level)],
  );
  const own = Int32Array.from(factors[absorbed]?.levels ?? []);
  const counts = new Float64Array(factors[absorbed]?.size ?? 0);
  const dense = new Float64Array(columns * columns);
  const coupling = new Float64Array(counts.length * columns);
  for (let row = 0; row < observations; row++) {
    const at = [0, ...places.map((p) => p[row] ?? 0)];
    const level = own[row] ?? -1;
    if (level >= 0) bump(counts, level);
    for (const a of at) {
      if (level >= 0) bump(coupling, level * columns + a);
      for (const b of at) bump(dense, a * columns + b);
    }
  }
  const shape = { observations, factors, absorbed, offset, columns, places, own };
  return { ...shape, dense, coupling, counts };
};
