import type { Share } from '@unhindered/shared-types';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { quantile } from '../consensus/quantile.ts';
import { mean } from '../consensus/mean.ts';
import { resampleLadder } from './ladder-bootstrap.ts';
import {
  accessBy,
  accessCurve,
  accessDistribution,
  accessQuantile,
  ladderPaths,
} from './ladder.ts';
import { ladderClosedForm, type LadderClosedForm } from './ladder-closed-form.ts';
import { rungDurations, type Rung } from './rung.ts';
import { shareOf, type MiddleTime } from './times-summary.ts';

/** Seconds at which the probability of access is printed. */
export const ACCESS_TIMES = [30, 60, 120, 180] as const;

interface Ends<T> {
  lower: T;
  upper: T;
}

/** One technique of the ladder by itself. */
export interface RungSummary {
  id: string;
  trials: number;
  operators: number;
  share: Figure<Share>;
  begun: number;
}

/** Time to access on a ladder, with 95 % limits by bootstrap over the trials of each rung. */
export interface AccessFigures {
  by: { seconds: number; probability: number; limits: Figure<Ends<number>> }[];
  /** Shortest time by which half of the cases have access. */
  median: MiddleTime;
  medianLimits: Figure<Ends<MiddleTime>>;
  /** Access at all, on any rung. */
  access: number;
  rungs: RungSummary[];
  /** Closed form from the rungs' own shares and mean times; no figure when a rung lacks what it needs. */
  closedForm: Figure<LadderClosedForm>;
  curve: { seconds: number; probability: number }[];
  /** 95 % limits at each time by itself, at the steps of the curve; empty where the trials give none. */
  band: { seconds: number; lower: number; upper: number }[];
  replicates: number;
  notes: string[];
}

/** Replicates of the bootstrap: the ends of a 95 % interval then move by about a hundredth between seeds. */
export const REPLICATES = 2000;

/** The seed of the resampling, the same for every ladder, so that a reader can draw the limits again. */
export const LADDER_SEED = 5;

/** Times at which the band is drawn, at most. */
const BAND_TIMES = 80;

/** Trials and operators below which limits are not shown without a warning. */
const ENOUGH = 8;

const INDEPENDENT =
  'Each technique is taken to go as it did in its own trials, whatever made the one before it fail.';
const lowerBound = (untried: readonly string[]): string =>
  `No trial of ${untried.join(', ')}: it counts as never giving access, so the figures are lower bounds.`;
const counted = (n: number, one: string): string => `${String(n)} ${one}${n === 1 ? '' : 's'}`;
const tooFew = (trials: number, operators: number): string =>
  `${counted(trials, 'trial')} of the least tried technique and ${counted(operators, 'operator')}: with fewer than ` +
  `${String(ENOUGH)} of either, limits called 95 % cannot be trusted to hold the truth that often.`;
const REPEATED =
  'Several trials of one operator count as if they were of several people, so the limits are somewhat too narrow.';

const middle = (seconds: number | undefined): MiddleTime =>
  seconds === undefined ? { reached: false } : { reached: true, seconds };

const shareLimits = (found: readonly number[]): Figure<Ends<number>> => {
  const lower = quantile(found, 0.025);
  const upper = quantile(found, 0.975);
  if (lower === undefined || upper === undefined) return noFigure('no replicates were drawn');
  if (Math.max(...found) - Math.min(...found) < 1e-9) {
    return noFigure('the trials are too alike or too few to tell how far this may be off');
  }
  return figure({ lower, upper });
};

/** Order statistics, so that a median that was not reached may be an end. */
const medianLimits = (found: readonly (number | undefined)[]): Figure<Ends<MiddleTime>> => {
  if (found.length === 0) return noFigure('no replicates were drawn');
  const sorted = found.map((x) => x ?? Infinity).toSorted((a, b) => a - b);
  if (sorted[0] === sorted.at(-1)) {
    return noFigure('the trials are too alike or too few to tell how far this may be off');
  }
  const at = (share: number): MiddleTime => {
    const x = sorted[Math.round((sorted.length - 1) * share)] ?? Infinity;
    return middle(Number.isFinite(x) ? x : undefined);
  };
  return figure({ lower: at(0.025), upper: at(0.975) });
};

/** The closed form from each rung's own trials. A rung's failed times count as time lost, never as time to access. */
const closedFormOf = (rungs: readonly Rung[]): Figure<LadderClosedForm> => {
  const empty = rungs.find((r) => r.trials.length === 0);
  if (empty) return noFigure(`no trial of ${empty.id}`);
  return figure(
    ladderClosedForm(
      rungs.map((rung) => {
        const { done, failed } = rungDurations(rung);
        return {
          success: done.length / rung.trials.length,
          meanDone: mean(done) ?? 0,
          meanFailed: mean(failed) ?? 0,
        };
      }),
    ),
  );
};

/** Where the resamples never differ the band has no width there; where they never differ at all there is none. */
const bandOf = (
  steps: readonly number[],
  limits: (step: number) => Figure<Ends<number>>,
): AccessFigures['band'] =>
  steps.flatMap((seconds, i) => {
    const found = limits(i);
    return found.ok ? [{ seconds, ...found.value }] : [];
  });

const operatorsOf = (rungs: readonly Rung[]): number =>
  new Set(rungs.flatMap((r) => r.trials.map((t) => t.operator))).size;

const notesOf = (rungs: readonly Rung[], begun: readonly number[]): string[] => {
  // What never comes to its turn could have given nothing.
  const untried = rungs
    .filter((r, i) => r.trials.length === 0 && (begun[i] ?? 0) > 1e-12)
    .map((r) => r.id);
  const tried = rungs.filter((r) => r.trials.length > 0);
  const least = tried.length === 0 ? 0 : Math.min(...tried.map((r) => r.trials.length));
  const operators = operatorsOf(rungs);
  return [
    INDEPENDENT,
    ...(untried.length > 0 ? [lowerBound(untried)] : []),
    ...(least < ENOUGH || operators < ENOUGH ? [tooFew(least, operators)] : []),
    ...(rungs.some((r) => r.trials.length > operatorsOf([r])) ? [REPEATED] : []),
  ];
};

/** The steps of the curve, or as many of them, evenly picked, as a band is drawn at. */
const bandTimes = (curve: AccessFigures['curve']): number[] => {
  const steps = curve.map((p) => p.seconds).filter((t) => t > 0);
  if (steps.length <= BAND_TIMES) return steps;
  const every = (steps.length - 1) / (BAND_TIMES - 1);
  return Array.from({ length: BAND_TIMES }, (_, i) => steps[Math.round(i * every)] ?? 0);
};

/**
 * ME-5: limits from fewer than eight trials of a technique, or fewer than eight operators, are never given without the
 * note that they cannot be trusted: on an invented
 * ladder (tests/bench/ladder-coverage.ts) limits from three operators held the truth 40 to 88 times in a hundred, from
 * eight 79 to 91, from fifteen 87 to 93. `next` gives numbers in [0, 1) from a seed that is kept with the figures; the same
 * seed gives the same limits. Rungs in the order in which they are tried.
 */
export const accessFigures = (
  rungs: readonly Rung[],
  next: () => number,
  replicates = REPLICATES,
): AccessFigures => {
  const ways = ladderPaths(rungs);
  const found = accessDistribution(rungs, ways);
  const curve = accessCurve(found);
  const steps = bandTimes(curve);
  const drawn = resampleLadder(ways, [...ACCESS_TIMES, ...steps], replicates, next);
  const limitsAt = (i: number): Figure<Ends<number>> => shareLimits(drawn.map((d) => d.by[i] ?? 0));
  return {
    by: ACCESS_TIMES.map((seconds, i) => ({
      seconds,
      probability: accessBy(found, seconds),
      limits: limitsAt(i),
    })),
    median: middle(accessQuantile(found, 0.5)),
    medianLimits: medianLimits(drawn.map((d) => d.median)),
    access: found.access,
    rungs: rungs.map((rung, place) => {
      const { done } = rungDurations(rung);
      return {
        id: rung.id,
        trials: rung.trials.length,
        operators: operatorsOf([rung]),
        share: shareOf(done.length, rung.trials.length),
        begun: found.begun[place] ?? 0,
      };
    }),
    closedForm: closedFormOf(rungs),
    curve,
    band: bandOf(steps, (i) => limitsAt(ACCESS_TIMES.length + i)),
    replicates,
    notes: notesOf(rungs, found.begun),
  };
};
