import type { MotionCaveat } from './series-question.ts';
import type { Shown } from './shown.ts';
import type { ListedTrial } from './trial-list.ts';
import type { CriterionStatus } from './trial.ts';

/** A trial as a screen gets it; its place among the trials of its task is the order they were kept in. */
export type TrialSlice = ListedTrial;

/**
 * Times with the equipment beside times without it, seconds. `paired`: the same operators did both; `unpaired`: two
 * groups are compared. `n` counts operators where paired, values of each group where not. `ratio` is how many times as
 * long: where paired the middle of the operators' own multiples (`operatorRatio`), where not that of the means.
 * `notes` say in words what a reader must know.
 */
export type Comparison =
  | {
      kind: 'paired' | 'unpaired';
      n: { equipment: number; reference: number };
      difference: { value: number; lower: number; upper: number };
      ratio: number | null;
      operatorRatio: { value: number; lower: number; upper: number } | null;
      notes: string[];
    }
  | { kind: 'none'; why: string };

/**
 * One measure over the trials that count and have it, in its unit: middle, least and largest value, `n` trials, of
 * which `files` have it from an imported file; `caveats` hold for at least one of those.
 */
export interface MeasuredSlice {
  measure: string;
  name: string;
  unit: string;
  decimals: number;
  n: number;
  median: number;
  least: number;
  most: number;
  files: number;
  caveats: MotionCaveat[];
}

/** What the trials of one task say. Standing trials with the equipment, in the state the task is rated in. */
export interface EvidenceSlice {
  task: string;
  state: string;
  valid: number;
  done: number;
  /** Share done with its Wilson 95 % limits; null without a trial. */
  share: { value: number; lower: number; upper: number } | null;
  /** Seconds, a trial that was not done ranked last. */
  medianSeconds: Shown;
  /** Null where the task can never gate. */
  criterion: {
    status: CriterionStatus;
    met: number;
    /** Trials in which it was judged, by measured values or by somebody. */
    judged: number;
    minTrials: number;
    minShare: number;
    /** Trials that measured values answered, where the protocol says what they decide. */
    measured?: number;
    /** Of those, trials whose recorder marked the other thing. */
    differs?: number;
    /** What a pooled share of attempts says, in words; then `met` and `judged` count attempts. */
    pooled?: string;
  } | null;
  comparison: Comparison;
  /** Measures of the task that any counted trial has, beside its own time. */
  measured: MeasuredSlice[];
  /** Trials beside these: standing ones without the equipment, in another state, to learn, with a hidden fault; void. */
  beside: {
    reference: number;
    otherState: number;
    practice: number;
    hiddenFault: number;
    voided: number;
    /** Of a model who left, and taken out by a moderator. */
    withdrawn: number;
  };
}
