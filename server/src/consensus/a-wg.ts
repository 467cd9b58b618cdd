import { figure, noFigure, type Figure } from './figure.ts';
import { mean, variance } from './mean.ts';
import type { RatingScale } from './table.ts';

/**
 * a_wg of one task: 1 - 2 s^2 / [((H + L) M - M^2 - H L) m / (m - 1)], 1 for no spread, -1 for the most there
 * can be about this mean. Defined only for means inside [(L(m-1)+H)/m, (H(m-1)+L)/m]; nearer an end of the
 * scale the divisor tends to zero. Its authors ask for about as many ratings as the scale has points less one.
 * Source: Brown & Hauenstein 2005 (from memory); checked against R's multilevel.
 */
export const aWg = (values: readonly number[], scale: RatingScale): Figure => {
  const m = values.length;
  const centre = mean(values);
  const s2 = variance(values);
  if (centre === undefined || s2 === undefined) return noFigure('fewer than two ratings');
  const { min: low, max: high } = scale;
  const inside =
    centre >= (low * (m - 1) + high) / m - 1e-12 && centre <= (high * (m - 1) + low) / m + 1e-12;
  if (!inside) return noFigure('the mean lies too near an end of the scale');
  // (H - M)(M - L) is the printed (H + L) M - M^2 - H L without its cancellation.
  const most = ((high - centre) * (centre - low) * m) / (m - 1);
  return figure(1 - (2 * s2) / most);
};
