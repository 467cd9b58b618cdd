/** Share of pairs (a, b) with a above b, ties half. 0.5 means no difference. Source: Vargha & Delaney 2000. */
export const probabilityOfSuperiority = (
  a: readonly number[],
  b: readonly number[],
): number | undefined => {
  if (a.length === 0 || b.length === 0) return undefined;
  let wins = 0;
  for (const x of a) for (const y of b) wins += x > y ? 1 : x === y ? 0.5 : 0;
  return wins / (a.length * b.length);
};

/** The same over pairs of the same task. */
export const pairedSuperiority = (
  pairs: readonly (readonly [number, number])[],
): number | undefined => {
  if (pairs.length === 0) return undefined;
  const wins = pairs.reduce((sum, [x, y]) => sum + (x > y ? 1 : x === y ? 0.5 : 0), 0);
  return wins / pairs.length;
};

/** Percentile standing of `value` among `others`: share below plus half the share equal, 0..100. */
export const standing = (value: number, others: readonly number[]): number | undefined => {
  const share = probabilityOfSuperiority([value], others);
  return share === undefined ? undefined : 100 * share;
};
