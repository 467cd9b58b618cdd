import { figure, noFigure, type Figure } from '../consensus/figure.ts';

/** A technique as publications print it. */
export interface RungFigures {
  /** Share of attempts that succeed. */
  success: number;
  /** Mean seconds of the attempts that succeed. */
  meanDone: number;
  /** Mean seconds until the next technique begins when this one fails; the cap, where failures run to it. */
  meanFailed: number;
}

export interface LadderClosedForm {
  /** Probability of access on the whole ladder. */
  access: number;
  /** Probability that each rung is begun, and that each gives the access. */
  begun: number[];
  by: number[];
  /** Mean seconds to access, of the cases with access; no figure when there is none. */
  meanToAccess: Figure;
}

/**
 * The ladder from success shares and mean times alone: rung k is begun with probability (1 - p1)...(1 - pk-1), and
 * gives access after the mean failures before it and its own mean success. Means need no shape of distribution; the
 * probability of access by a given time does, so it is not given here. Throws when a share is not in 0..1 or a mean
 * is negative.
 */
export const ladderClosedForm = (rungs: readonly RungFigures[]): LadderClosedForm => {
  const begun: number[] = [];
  const by: number[] = [];
  let open = 1;
  let spent = 0;
  let weighted = 0;
  for (const { success, meanDone, meanFailed } of rungs) {
    if (!(success >= 0 && success <= 1)) throw new RangeError('a share lies between 0 and 1');
    if (!(meanDone >= 0 && meanFailed >= 0)) throw new RangeError('a mean time is not negative');
    begun.push(open);
    by.push(open * success);
    weighted += open * success * (spent + meanDone);
    spent += meanFailed;
    open *= 1 - success;
  }
  const access = by.reduce((sum, p) => sum + p, 0);
  return {
    access,
    begun,
    by,
    meanToAccess: access > 0 ? figure(weighted / access) : noFigure('no technique ever succeeds'),
  };
};
