/**
 * Quantile by linear interpolation between order statistics, h = (n - 1) p + 1: type 7, the default of R and
 * NumPy. Undefined without values; throws when `p` is not in 0..1. Source: Hyndman & Fan 1996.
 */
export const quantile = (values: readonly number[], p: number): number | undefined => {
  if (!(p >= 0 && p <= 1)) throw new RangeError('a quantile needs a share between 0 and 1');
  if (values.length === 0) return undefined;
  // A typed array sorts numbers without calling back; most of the live set's time is spent here.
  const sorted = new Float64Array(values).sort();
  const at = (sorted.length - 1) * p;
  const low = sorted[Math.floor(at)] ?? 0;
  const high = sorted[Math.ceil(at)] ?? low;
  return low + (at - Math.floor(at)) * (high - low);
};

/** The middle value, or the mean of the two middle ones. Undefined without values. */
export const median = (values: readonly number[]): number | undefined => quantile(values, 0.5);
