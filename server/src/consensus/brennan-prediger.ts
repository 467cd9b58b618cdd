import type { WeightScheme } from './agreement-weights.ts';
import type { Figure } from './figure.ts';
import {
  correctedForChance,
  observedAgreement,
  type ChanceCorrected,
} from './observed-agreement.ts';
import type { RatingCells } from './table.ts';

/**
 * Brennan & Prediger's coefficient: chance spreads evenly over all q points, expected Tw / q^2.
 * Absent cells allowed. Source: Brennan & Prediger 1981, generalised in Gwet 2014.
 */
export const brennanPrediger = (
  cells: RatingCells,
  points: readonly number[],
  scheme: WeightScheme,
): Figure<ChanceCorrected> => {
  const o = observedAgreement(cells, points, scheme);
  if (!o.ok) return o;
  return correctedForChance(o.value.observed, o.value.totalWeight / points.length ** 2);
};
