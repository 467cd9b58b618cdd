import type { SeriesPoint } from '@unhindered/shared-types';

/** Stretches of a plot; each keeps its least and its largest value. */
const STRETCHES = 500;

/**
 * At most a thousand points and the two ends of a series, in order: of each stretch its least and largest value, so
 * that no peak is lost from a plot.
 */
export const thinSeries = (
  seconds: readonly number[],
  values: readonly number[],
  stretches = STRETCHES,
): SeriesPoint[] => {
  const kept = new Set<number>();
  const width = Math.max(1, Math.ceil(values.length / stretches));
  for (let from = 0; from < values.length; from += width) {
    let [least, most] = [from, from];
    for (let i = from; i < Math.min(values.length, from + width); i += 1) {
      if ((values[i] ?? 0) < (values[least] ?? 0)) least = i;
      if ((values[i] ?? 0) > (values[most] ?? 0)) most = i;
    }
    kept.add(least).add(most);
  }
  if (values.length > 0) kept.add(0).add(values.length - 1);
  return [...kept]
    .toSorted((a, b) => a - b)
    .map((i) => ({ seconds: seconds[i] ?? 0, value: values[i] ?? 0 }));
};
