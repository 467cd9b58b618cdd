/** How much two points of a scale count as agreeing: 1 for the same point, less the further apart. */
export type WeightScheme = 'identity' | 'linear' | 'quadratic' | 'ordinal';

const pairsWithin = (steps: number): number => ((steps + 1) * steps) / 2;

/**
 * Agreement weights for `points` scale points, by position on the whole scale: points nobody used stay in,
 * else the weights would change with the data. Identity 0/1; linear 1 - d/(q-1); quadratic 1 - d^2/(q-1)^2;
 * ordinal 1 - C(d+1, 2)/C(q, 2). Throws below two points. Source: Gwet 2014, chapter 3.
 */
export const agreementWeights = (points: number, scheme: WeightScheme): number[][] => {
  if (points < 2) throw new RangeError('a scale has at least two points');
  const most = points - 1;
  const weight = (d: number): number => {
    if (scheme === 'identity') return d === 0 ? 1 : 0;
    if (scheme === 'linear') return 1 - d / most;
    if (scheme === 'quadratic') return 1 - (d * d) / (most * most);
    return 1 - pairsWithin(d) / pairsWithin(most);
  };
  return Array.from({ length: points }, (_, k) =>
    Array.from({ length: points }, (__, l) => weight(Math.abs(k - l))),
  );
};
