/** Ranks from 1 in the order of the values given; equal values share the mean of their ranks. */
export const midranks = (values: readonly number[]): number[] => {
  const sorted = values.toSorted((a, b) => a - b);
  const rank = new Map<number, number>();
  for (let start = 0; start < sorted.length;) {
    const value = sorted[start] ?? 0;
    const end = sorted.lastIndexOf(value);
    rank.set(value, (start + end) / 2 + 1);
    start = end + 1;
  }
  return values.map((v) => rank.get(v) ?? 0);
};
