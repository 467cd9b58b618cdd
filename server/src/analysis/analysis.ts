import type { RatingScale } from '../consensus/table.ts';

/**
 * The figures of a list of ratings, as `analyse --json` prints them. Names are stable: keys may be added, none
 * is renamed. A figure that is not defined is null, and `notes` beside it says why, by key. Numbers are
 * unrounded, in scale points or shares.
 */
type Maybe = number | null;
interface Noted {
  notes?: Record<string, string>;
}

export interface FlagFigures extends Noted {
  rule: string;
  reviewers: string[];
  kind: string;
  sentence: string;
  constants: { lone: number; split: number | null } | null;
  /** Whether it stands when each reviewer's habit is taken out; null where that cannot be said. */
  survives_severity: boolean | null;
}

export interface TaskFigures extends Noted {
  task: string;
  section: string;
  n: number;
  median: Maybe;
  mean: Maybe;
  range: Maybe;
  ad_median: Maybe;
  ad_mean: Maybe;
  a_wg: Maybe;
  r_wg: Maybe;
  iqr: Maybe;
  /** The mean with every reviewer's habit taken out. */
  fair: Maybe;
  /** By Algorithm A. */
  robust_mean: Maybe;
  /** Interpercentile range over what its asymmetry allows; above 1 the panel disagrees. */
  disagreement_index: Maybe;
  /** A third of the panel at each end of the scale. */
  polarised: boolean | null;
  flags: FlagFigures[];
}

export interface ReviewerFigures extends Noted {
  reviewer: string;
  n: number;
  severity: Maybe;
  severity_se: Maybe;
  /** Mean of Mandel's h over the tasks, and in how many the reviewer stands above and below the panel. */
  mandel_h: Maybe;
  above: number;
  below: number;
  /** What this reviewer's absence would change. */
  without: {
    composite_change: Maybe;
    alpha: Maybe;
    flags_gone: string[];
    flags_new: string[];
  } & Noted;
}

export interface IccFigures extends Noted {
  estimate: Maybe;
  f: Maybe;
  df1: Maybe;
  df2: Maybe;
  p: Maybe;
  lower: Maybe;
  upper: Maybe;
}

type IccName = '1,1' | '2,1' | '3,1' | '1,k' | '2,k' | '3,k';
interface Range {
  lower: number;
  upper: number;
}

export interface AgreementFigures extends Noted {
  alpha: Record<'nominal' | 'ordinal' | 'interval' | 'ratio', Maybe> & Noted;
  /** Of ordinal alpha, by drawing tasks; the generator and seed repeat it. */
  alpha_interval: (Range & { replicates: number; discarded: number; seed: number }) | null;
  icc: Record<IccName, IccFigures>;
  /** Tasks that the table forms use, and those they leave out for an absent cell. */
  icc_tasks: { used: number; left_out: number } | null;
  /** By REML components on every cell; `reviewers` is what the averages stand for. */
  icc_components: Record<
    | 'agreement_single'
    | 'agreement_average'
    | 'consistency_single'
    | 'consistency_average'
    | 'reviewers',
    number
  > | null;
  ac1: Maybe;
  ac2_linear: Maybe;
  ac2_quadratic: Maybe;
  ac2_quadratic_interval: Range | null;
  fleiss: Maybe;
  brennan_prediger: Maybe;
  /** Cohen's kappa with quadratic weights, for two reviewers only. */
  kappa_quadratic: Maybe;
  kendall_w:
    ({ w: number; chi2: number; df: number; p: number; p_permutation: Maybe } & Noted) | null;
  within_one_pairs: Maybe;
  exact_pairs: Maybe;
}

interface Components {
  task: number;
  reviewer: number;
  residual: number;
}

export interface CompositeFigures extends Noted {
  /** Of the reviewers' mean ratings; the interval is centred on it. */
  value: Maybe;
  lower: Maybe;
  upper: Maybe;
  method: 't' | 'jackknife-t' | null;
  by_reviewer: ({ reviewer: string; value: Maybe } & Noted)[];
  leave_one_out: ({ reviewer: string; value: Maybe; change: Maybe } & Noted)[];
  of_medians: Maybe;
  sections: ({
    section: string;
    value: Maybe;
    weight: number;
    rated: number;
    of: number;
  } & Noted)[];
  weight_used: number;
  provisional: boolean;
  /** From eight reviewers on. */
  bootstrap:
    ({ percentile: Range; bca: Range | null; replicates: number; seed: number } & Noted) | null;
}

export interface RoundFigures extends Noted {
  from: number;
  to: number;
  advice: string;
  tasks: {
    task: string;
    n: number;
    share_changed: number;
    median_change: number;
    histogram_change: number;
  }[];
  signed_rank_p: Maybe;
}

export interface Analysis extends Noted {
  scale: RatingScale;
  /** What the resampled figures were drawn with. */
  generator: string;
  counts: { tasks: number; reviewers: number; ratings: number; absent: number };
  rule: { id: string; lone: number; split: number | null };
  tasks: TaskFigures[];
  reviewers: ReviewerFigures[];
  /** F test of "all reviewers have the same habit". */
  severity_test: { f: number; df1: number; df2: number; p: number } | null;
  agreement: AgreementFigures;
  variance: { reml: Components | null; ems: Components | null } & Noted;
  dependability: {
    g: Maybe;
    phi: Maybe;
    sem: Maybe;
    reviewers_for_phi_80: Maybe;
    reviewers: number;
  } & Noted;
  composite: CompositeFigures;
  rounds: RoundFigures[];
  /** Exploratory, on request only. */
  rating_scale_model?: RatingScaleFigures;
}

export interface RatingScaleFigures extends Noted {
  reviewers: { reviewer: string; severity: number; infit: number; outfit: number }[];
  tasks: { task: string; difficulty: number; infit: number; outfit: number }[];
}
