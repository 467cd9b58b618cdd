import { roundHalfUp } from './round-half-up.ts';

/**
 * Two decimals of a value that falls short of `target`, or as many more as it takes to show that it does: 0.797, not
 * 0.80, where 0.80 is asked for. A value that does not fall short has two.
 */
export const roundedBelow = (value: number, target: number): string => {
  for (let decimals = 2; value < target && decimals < 12; decimals++) {
    const text = roundHalfUp(value, decimals);
    if (Number(text) < target) return text;
  }
  return roundHalfUp(value, 2);
};
