import type { ParsedEntry, Share } from '@unhindered/shared-types';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { mean, variance } from '../consensus/mean.ts';
import { wilson } from '../consensus/proportion-interval.ts';
import { withinCap } from './within-cap.ts';

/** One time of a trial, seconds; censored when the task was not done by then. */
export type TrialTime = Pick<ParsedEntry, 'value' | 'censored'>;

/** A middle time that may lie past the end of the trials. */
export type MiddleTime = { reached: true; seconds: number } | { reached: false };

/** The times of one task in one condition. */
export interface TimesSummary {
  /** Trials that tell whether the task was done in time. */
  n: number;
  done: number;
  notDone: number;
  /** Trials that ended before the cap without being done: they tell nothing, and count nowhere. */
  undecided: number;
  /** Seconds; null when the task has none, and not done means not done when the trial ended. */
  cap: number | null;
  share: Figure<Share>;
  median: Figure<MiddleTime>;
  /** Of the trials that were done alone: it says nothing of those that were not. */
  meanOfDone: Figure<{ n: number; mean: number; sd: number | undefined }>;
}

/** Successes of a number with Wilson limits; nothing of nothing is no data, not zero. */
export const shareOf = (successes: number, of: number): Figure<Share> => {
  const limits = wilson(successes, of);
  if (!limits) return noFigure('no data');
  return figure({ successes, of, share: successes / of, limits });
};

/**
 * ME-2: a censored time is never averaged in, and never counts as if it took exactly the cap. Failures rank last:
 * the median is past the end ("not reached") when half of the trials or more were not done; with an even number
 * and the halves apart it is the mean of the two middle times. The mean is of the trials done, marked as such.
 */
export const timesSummary = (times: readonly TrialTime[], cap: number | null): TimesSummary => {
  const judged = times.map((time) => ({
    seconds: time.value,
    done: cap === null ? (time.censored ? 'not-done' : 'done') : withinCap(time, cap),
  }));
  const done = judged.filter((t) => t.done === 'done').map((t) => t.seconds);
  const undecided = judged.filter((t) => t.done === 'unknown').length;
  const n = judged.length - undecided;
  const sorted = done.toSorted((a, b) => a - b);
  const low = sorted[Math.ceil(n / 2) - 1];
  const high = sorted[Math.floor(n / 2)];
  const middle: MiddleTime =
    low === undefined || high === undefined
      ? { reached: false }
      : { reached: true, seconds: (low + high) / 2 };
  const centre = mean(done);
  const spread = variance(done);
  return {
    n,
    done: done.length,
    notDone: n - done.length,
    undecided,
    cap,
    share: shareOf(done.length, n),
    median: n === 0 ? noFigure('no trial') : figure(middle),
    meanOfDone:
      centre === undefined
        ? noFigure('no trial was done')
        : figure({
            n: done.length,
            mean: centre,
            sd: spread === undefined ? undefined : Math.sqrt(spread),
          }),
  };
};
