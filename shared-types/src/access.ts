import type { Shown } from './shown.ts';

/** Ends of a 95 % interval, or why there is none. */
export type LimitsShown = { lower: number; upper: number } | { why: string };

/** One technique of a ladder, with what was tried of it. */
export interface AccessRung {
  task: string;
  title: string;
  /** The equipment state it is tried in, by its title. */
  state: string;
  /** Seconds after which the next technique begins; null where only giving up ends it. */
  capSeconds: number | null;
  /** Standing trials with the equipment, in the state of the task, that count here. */
  trials: number;
  done: number;
  /** Not done when stopped, or done after the cap: censored, and never averaged in. */
  notDone: number;
  /** Not done trials without a time, counted as failed at the cap. */
  atCap: number;
  /** Trials left out: done, but nobody took the time; or not done, without a time and without a cap. */
  untimed: number;
  operators: number;
  /** Share done with its Wilson 95 % limits; null without a trial. */
  share: { value: number; lower: number; upper: number } | null;
  /** Probability that it is begun at all; null without figures. */
  begun: number | null;
}

/** Time to access over a whole ladder. Probabilities in 0..1, times in seconds. */
export interface AccessShown {
  by: { seconds: number; probability: number; limits: LimitsShown }[];
  /** Shortest time by which half of the cases have access. */
  median: Shown;
  /** Its 95 % ends; `upper` is null where the end is that half never get access. */
  medianLimits: { lower: number | null; upper: number | null } | { why: string };
  /** Access at all, on any rung. */
  access: number;
  /** From the rungs' shares and mean times alone: mean seconds of the cases with access. */
  closedForm: { access: number; mean: Shown } | { why: string };
  /** The step curve, from 0, 0 on. */
  curve: { seconds: number; probability: number }[];
  /** 95 % limits at each time by itself, rising in time; empty where the trials give none. */
  band: { seconds: number; lower: number; upper: number }[];
  /** Resamples of the trials behind the limits, and the seed that they are drawn again from. */
  replicates: number;
  seed: number;
}

/** One ladder of the protocol and what its trials say. */
export interface AccessLadder {
  id: string;
  goal: string;
  rungs: AccessRung[];
  /** Null where there is none to show; `why` says it. */
  figures: AccessShown | null;
  why: string | null;
  /** What a reader must know, in words. */
  notes: string[];
}

/**
 * A task's time with the equipment as a multiple of its time without, and who stands behind it: operators who did both
 * where paired, trials of different people where not.
 */
export interface BareMultiple {
  times: number;
  kind: 'paired' | 'unpaired';
  n: { equipment: number; reference: number };
}

/** GET /api/evaluations/:id/access: the ladders of one evaluation, as its trials stand. */
export interface AccessAnswer {
  evaluation: string;
  ladders: AccessLadder[];
  /** Tasks that were timed with and without the equipment, in the protocol's order. */
  bare: ({ task: string; title: string } & BareMultiple)[];
}

/** GET /api/compare/access?ids=a,b,c: of locked evaluations, in the order asked for. */
export interface AccessComparison {
  evaluations: AccessAnswer[];
}
