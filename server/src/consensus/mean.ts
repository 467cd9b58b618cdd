/** Arithmetic mean, summed about the first value so that a common offset cannot cost digits. */
export const mean = (values: readonly number[]): number | undefined => {
  const first = values[0];
  if (first === undefined) return undefined;
  return first + values.reduce((sum, x) => sum + (x - first), 0) / values.length;
};

/** Sample variance (divisor n - 1), two passes. Undefined below two values. */
export const variance = (values: readonly number[]): number | undefined => {
  const centre = mean(values);
  if (centre === undefined || values.length < 2) return undefined;
  return values.reduce((sum, x) => sum + (x - centre) ** 2, 0) / (values.length - 1);
};
