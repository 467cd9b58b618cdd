import type { RecordState } from './record-state.ts';
import type { EndorsementSlice } from './endorsement.ts';
import type { EvidenceSlice, TrialSlice } from './evidence.ts';
import type { FigureText, Result } from './figures.ts';
import type { FitSlice } from './fit.ts';
import type { Declaration } from './interest.ts';
import type { LockCondition } from './lock-condition.ts';
import type { Rating } from './rating.ts';
import type { MediaSlice, Observation } from './media.ts';
import type { WitnessFault } from './messages.ts';
import type { Role } from './roles.ts';
import type { SafetySlice } from './safety.ts';
import type { Shown } from './shown.ts';
import type { Registered, Specimen } from './specimen.ts';
import type { Stage } from './stage.ts';
import type { CriterionStatus } from './trial.ts';

/**
 * What the server shows, shaped for who is looking. Every slice is built on the server by role and stage:
 * a screen can only show what its seat may see. Times are ISO-8601 UTC; numbers are unrounded.
 */

/** Where ratings from paper came from. */
export interface PaperSlice {
  file: string;
  sha256: string;
  at: string;
  by: string;
}

export interface HeadSlice {
  evaluation: string;
  panel: string;
  panelTitle: string;
  title: string;
  specimen: Specimen;
  /** As the register described it when the evaluation was made; null where it was typed. */
  registered: Registered | null;
  protocol: { id: string; version: string; hash: string; title: string };
  stage: Stage;
  /** `startedAt` is null of a round that was never sealed: from paper. */
  round: {
    number: number;
    tasks: string[];
    startedAt: string | null;
    openedAt: string | null;
  } | null;
  /** Its ratings were given on paper and brought in by a moderator: they were never sealed here. */
  paper: PaperSlice | null;
  /** The task the moderator points at. */
  present: string | null;
  withdrawnBecause: string | null;
  /** What became of the record after its lock; null before it. */
  record: RecordState | null;
}

export interface SeatSlice {
  seat: string;
  role: Role;
  /** Reviewers have letters; others do not. */
  letter: string | null;
  name: string;
  online: boolean;
  /** Moderator and wall see it by seat; null where the viewer may not know. */
  finished: boolean | null;
  /** How a reviewer saw the work, by round; empty until that round is opened. */
  observed: { round: number; how: Observation }[];
  declared: boolean;
  /** Ties are on show to everybody from the opening; before it to the moderator and the seat itself. */
  declaration: Declaration | null;
  /** Tasks in which this seat's ratings do not count. */
  excluded: string[];
}

/** One seat's rating of one task, after the opening. */
export interface ShownRating {
  seat: string;
  rating: Rating;
  /** False when a declared interest takes it out of the consensus. */
  counted: boolean;
  /** From an earlier round, because the seat did not rate again. */
  notReRated: boolean;
  /** Changed on the sheet after it was first entered, before the opening. */
  changed: boolean;
  /** Admitted after the opening. */
  late: boolean;
  /** The value before a correction, with its reason. */
  corrected: { old: Rating | null; reason: string } | null;
}

export type FlagKind =
  | 'split-panel'
  | 'lone-voice'
  | 'critical-failure-dispute'
  | 'applicability-dispute'
  | 'evidence-against-rating';

export interface ShownFlag {
  kind: FlagKind;
  rule: string;
  /** The rule's constants in scale points; null where no distance is judged. */
  constants: { lone: number; split: number | null } | null;
  /** The seats it names by its definition; empty for a split. */
  seats: string[];
  /** Those of them to whom a sentence should point; empty when the panel falls into camps. */
  apart: string[];
  /** Distance in scale points that the flag rests on; 0 where it is not a distance. */
  size: number;
}

export type Settled = {
  how: 'adopt' | 'decide' | 'leave-open';
  value: number | null;
  reason: string | null;
  by: string;
  at: string;
} | null;

export interface GateSlice {
  /** Seats that proposed a critical failure, with their reasons. */
  proposed: { seat: string; reason: string }[];
  /** Counted seats that rated the worst point. */
  atWorst: string[];
  /** Whether the trials meet the criterion. */
  trials: CriterionStatus;
  decision: {
    confirmed: boolean;
    backedByTrials: boolean;
    reason: string;
    by: string;
    at: string;
  } | null;
  /** True while the moderator owes a decision. */
  owed: boolean;
}

export interface TaskSlice {
  task: string;
  round: number;
  ratings: ShownRating[];
  n: number;
  median: Shown;
  min: Shown;
  max: Shown;
  /** Average deviation from the median, scale points. */
  adMedian: Shown;
  flags: ShownFlag[];
  settled: Settled;
  gate: GateSlice | null;
}

export interface AgreementSlice {
  round: number;
  reviewers: number;
  tasks: number;
  absent: number;
  alphaOrdinal: Shown;
  /** Share of rating pairs within one point, and of exact pairs. */
  withinOne: Shown;
  exact: Shown;
  /** Fewer than three counted reviewers: each can infer the other. */
  fewReviewers: boolean;
}

/** For the moderator alone: reviewers' habits are feedback, not a ranking. Counted ratings only. */
export interface InsightSlice {
  reviewers: {
    seat: string;
    /** Counted ratings. */
    n: number;
    /** Habit in scale points, + rates higher than the panel, with its standard error. */
    severity: Shown;
    error: Shown;
    /** What the reviewer's absence would change: composite of mean ratings, ordinal alpha, divergent tasks. */
    change: Shown;
    /** The change is a twentieth of the scale's width or more. */
    decisive: boolean;
    alpha: Shown;
    flagsGone: string[];
    flagsNew: string[];
  }[];
  /** Intraclass correlation, absolute agreement, by REML on every cell: one reviewer, and the panel's mean. */
  agreementSingle: Shown;
  agreementAverage: Shown;
  /** Gwet's AC2, quadratic weights. */
  ac2: Shown;
  /** Dependability of the panel's mean, and the fewest reviewers that reach .80. */
  phi: Shown;
  reviewersNeeded: Shown;
  /** What alpha, the pairs and the spread of the tasks say together. */
  reading: 'undefined' | 'alike' | 'tasks-hardly-differ' | 'tentative' | 'apart';
  /** Divergent tasks that would not diverge with each habit taken out. */
  carriedByHabit: string[];
}

/** A device that does not believe the log: shown to the moderator. */
export interface DoubtSlice {
  seat: string;
  fault: WitnessFault;
  at: string;
}

export interface RemarkSlice {
  key: string;
  seat: string;
  task: string | null;
  text: string;
  at: string;
  /** A later remark of the same author that takes its place. */
  replacedBy: string | null;
}

export interface LateSlice {
  late: string;
  seat: string;
  round: number;
  task: string;
  rating: Rating;
  recorded: Rating | null;
  offeredAt: string;
  decision: { admitted: boolean; reason: string } | null;
}

export interface LockSlice {
  conditions: LockCondition[];
  locked: {
    at: string;
    by: string;
    meaning: string;
    result: Result;
    root: string;
    size: number;
  } | null;
  /** What the composite would be if locked now; null before the first opening. */
  preview: { composite: FigureText; provisional: boolean } | null;
}

export interface MeSlice {
  seat: string;
  role: Role;
  letter: string | null;
  name: string;
  declared: boolean;
  excluded: string[];
  board: string;
  /** Own sheets, by round. A frozen one is read-only. */
  sheets: { round: number; document: string; tasks: string[]; frozen: boolean }[];
  finished: boolean;
  /** Took the seat after the opening: rates sealed before seeing the round. */
  catchingUp: boolean;
  endorsement: { content: boolean; reason: string } | null;
  /** How this seat said it sees the work of the present round. */
  observed: Observation | null;
  /** Clips that this seat played. */
  watched: string[];
  /** The recorded sheet's digest, for the owner to keep. */
  digests: { round: number; digest: string }[];
}

export interface EvaluationView {
  head: HeadSlice;
  seats: SeatSlice[];
  /** All reviewers said finished. */
  allFinished: boolean;
  /** Present only for opened tasks. */
  tasks: Record<string, TaskSlice>;
  /** Trials of each task that has some, in the order they were kept, corrected and void ones too. */
  trials: Record<string, TrialSlice[]>;
  /** What they say, for each task that has some. */
  evidence: Record<string, EvidenceSlice>;
  /** Photos and clips, in the order they were kept; empty for who may not see the trials yet. */
  media: MediaSlice[];
  /** Divergent tasks, worst first. */
  queue: string[];
  agreement: AgreementSlice | null;
  /** Null for others than the moderator, before the opening, and while it is being computed. */
  insight: InsightSlice | null;
  /** Empty for others than the moderator. */
  doubts: DoubtSlice[];
  /** How many wait to be let in to the panel; 0 for others than the moderator. */
  arrivals: number;
  remarks: RemarkSlice[];
  late: LateSlice[];
  lock: LockSlice;
  fit: FitSlice;
  safety: SafetySlice;
  endorsements: EndorsementSlice;
  me: MeSlice;
}
