import { outcomeShares, pathProbabilities, type LadderPaths } from './ladder.ts';

/** One resample: the probability of access by each of the times, and the median (undefined when not reached). */
export interface Replicate {
  by: number[];
  median: number | undefined;
}

/**
 * Draws the trials of each rung again, as many as there were, from `next` in [0, 1), and takes the figures of each
 * draw.
 */
export const resampleLadder = (
  ways: LadderPaths,
  times: readonly number[],
  replicates: number,
  next: () => number,
): Replicate[] => {
  const within = times.map((t) => ways.seconds.filter((s) => s <= t).length);
  return Array.from({ length: replicates }, () => {
    const drawn = ways.rungs.map(({ ofTrial }) =>
      ofTrial.map(() => Math.floor(next() * ofTrial.length)),
    );
    const shares = outcomeShares(ways, (rung) => drawn[rung] ?? []);
    const cumulative = pathProbabilities(ways, shares);
    for (let i = 1; i < cumulative.length; i += 1) {
      cumulative[i] = (cumulative[i] ?? 0) + (cumulative[i - 1] ?? 0);
    }
    const middle = cumulative.findIndex((p) => p >= 0.5 - 1e-12);
    return {
      by: within.map((n) => cumulative[n - 1] ?? 0),
      median: middle < 0 ? undefined : ways.seconds[middle],
    };
  });
};
