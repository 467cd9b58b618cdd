import { zQuantile } from './distributions.ts';

/** Wilson score limits for `successes` of `trials`. Undefined without trials. Source: Wilson 1927 (from memory). */
export const wilson = (
  successes: number,
  trials: number,
  level = 0.95,
): [number, number] | undefined => {
  if (trials < 1 || successes < 0 || successes > trials) return undefined;
  const z = zQuantile((1 + level) / 2);
  const p = successes / trials;
  const scale = 1 + (z * z) / trials;
  const centre = p + (z * z) / (2 * trials);
  const half = z * Math.sqrt((p * (1 - p)) / trials + (z * z) / (4 * trials * trials));
  // At the ends the limit is exact; rounding would leave a speck that twelve digits show.
  const lower = successes === 0 ? 0 : (centre - half) / scale;
  const upper = successes === trials ? 1 : (centre + half) / scale;
  return [Math.max(0, lower), Math.min(1, upper)];
};

/**
 * Limits for the difference of two independent proportions by combining their Wilson limits.
 * Source: Newcombe 1998, method 10 (from memory).
 */
export const newcombe = (
  a: { successes: number; trials: number },
  b: { successes: number; trials: number },
  level = 0.95,
): { difference: number; limits: [number, number] } | undefined => {
  const la = wilson(a.successes, a.trials, level);
  const lb = wilson(b.successes, b.trials, level);
  if (!la || !lb) return undefined;
  const pa = a.successes / a.trials;
  const pb = b.successes / b.trials;
  const difference = pa - pb;
  return {
    difference,
    limits: [
      difference - Math.hypot(pa - la[0], lb[1] - pb),
      difference + Math.hypot(la[1] - pa, pb - lb[0]),
    ],
  };
};
