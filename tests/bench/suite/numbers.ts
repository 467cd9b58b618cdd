/** The value below which a share of the values lies; 0 of none. */
export const quantile = (values: readonly number[], share: number): number => {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
};

export const median = (values: readonly number[]): number => quantile(values, 0.5);

/** What is told of many times: milliseconds. */
export interface Times {
  n: number;
  p50: number;
  p95: number;
  p99: number;
  max: number;
}

export const timesOf = (values: readonly number[]): Times => ({
  n: values.length,
  p50: quantile(values, 0.5),
  p95: quantile(values, 0.95),
  p99: quantile(values, 0.99),
  max: quantile(values, 1),
});
