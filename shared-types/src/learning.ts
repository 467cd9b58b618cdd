import * as v from 'valibot';
import { evaluationId, slug } from './ids.ts';
import type { MediaType } from './media.ts';
import { rating, type Rating } from './rating.ts';
import type { RecordState } from './record-state.ts';
import type { Scale } from './scale.ts';
import type { Shown } from './shown.ts';
import type { Specimen } from './specimen.ts';

/** One locked evaluation as a reviewer learns from it. Counted ratings on the scale only; distances in steps. */
export interface LearnedEvaluation {
  evaluation: string;
  title: string;
  lockedAt: string;
  protocol: { id: string; version: string; title: string };
  scale: Pick<Scale, 'min' | 'max' | 'better'>;
  state: RecordState['kind'];
  /** Its ratings were imported from paper. */
  paper: boolean;
  /** Own counted ratings. */
  n: number;
  /** Additive habit against the panel, + rates higher, and its standard error. */
  severity: Shown;
  error: Shown;
  /** Spread (standard deviation) of own ratings once task and habit are taken out; and of the whole panel's. */
  spread: Shown;
  panelSpread: Shown;
  /** Against the settled values: tasks, mean distance with its sign and without, share within one step. */
  settled: { n: number; mean: Shown; distance: Shown; withinOne: Shown };
}

/** GET /api/panels/:panel/learning/:seat, for the reviewer and the lead alone. */
export interface ReviewerLearning {
  panel: string;
  panelTitle: string;
  seat: string;
  letter: string | null;
  name: string;
  /** The reader is the reviewer. */
  own: boolean;
  /** Oldest first. */
  evaluations: LearnedEvaluation[];
  /** Locked evaluations of the panel in which this seat has no counted rating, and those that were withdrawn. */
  without: number;
  withdrawn: number;
  /** Finished practices: all to the reviewer, to the lead those that the reviewer shows. */
  practices: PracticeComparison[];
}

/** One task of a protocol over its locked evaluations. */
export interface LearnedTask {
  task: string;
  title: string;
  section: string;
  /** Evaluations with a counted rating of it, and its counted ratings. */
  evaluations: number;
  n: number;
  /** Mean over evaluations of the average deviation from the median, steps. */
  deviation: Shown;
  /** Share of pairs of ratings within one step, pooled; and how many pairs. */
  withinOne: Shown;
  pairs: number;
  /** Evaluations in which it diverged. */
  diverged: number;
  /** Points of the scale that nobody ever used on it. */
  unused: number[];
  /** Shares of all answers. */
  answers: number;
  notApplicable: Shown;
  notObserved: Shown;
}

/** GET /api/learning: a protocol version, for moderators and the lead. `tasks` is empty below `enough` evaluations. */
export interface ProtocolLearning {
  protocol: { id: string; version: string; title: string; hash: string; invented: boolean };
  scale: Pick<Scale, 'min' | 'max'>;
  /** Locked evaluations of it, withdrawn ones left out, and those whose ratings came from paper. */
  evaluations: number;
  paper: number;
  ratings: number;
  tasks: LearnedTask[];
  /** Points of the scale that nobody ever used, on any task. */
  unused: number[];
}

export const learningQuery = v.strictObject({
  id: slug,
  version: v.pipe(v.string(), v.maxLength(16)),
});

/** POST /api/practice and what follows it: the locked evaluation whose material is rated. */
export const practiceBody = v.strictObject({ evaluation: evaluationId });
export const practiceFinishBody = v.strictObject({
  evaluation: evaluationId,
  ratings: v.pipe(
    v.array(v.strictObject({ task: slug, rating })),
    v.minLength(1, 'Rate one task at least.'),
    v.maxLength(500),
  ),
  /** The lead may see how it went. */
  share: v.boolean(),
});
export const practiceShareBody = v.strictObject({ evaluation: evaluationId, share: v.boolean() });

type Piece = Pick<
  Specimen,
  'kind' | 'sport' | 'maker' | 'model' | 'year' | 'size' | 'condition' | 'fastening'
>;

/** A locked evaluation that can be practised on: nothing of what the panel found. */
export interface PracticeOffer {
  evaluation: string;
  title: string;
  specimen: Piece;
  protocol: { id: string; version: string; title: string };
  state: 'open' | 'begun' | 'finished' | 'given-up';
}

/** GET /api/practice */
export interface PracticeList {
  offers: PracticeOffer[];
}

/** What there is to rate; of another panel's evaluation without its pictures. */
export interface PracticeMaterial extends PracticeOffer {
  media: { media: string; type: MediaType; task: string | null; description: string }[];
  /** The evaluation belongs to the reviewer's own panel: then its pictures are here. */
  ownPanel: boolean;
}

export interface PracticeTask {
  task: string;
  title: string;
  own: Rating;
  /** The panel's settled value, how it came about and why; null where it settled none. */
  settled: { value: number; how: 'adopt' | 'decide' | 'leave-open'; reason: string | null } | null;
  /** The panel's counted ratings, lowest and highest. */
  panel: { n: number; lowest: number | null; highest: number | null };
  /** Own step less the settled value; null where either is missing. */
  distance: number | null;
}

/** A finished practice beside the panel. */
export interface PracticeComparison {
  evaluation: string;
  title: string;
  specimen: Piece;
  protocol: { id: string; version: string };
  scale: Pick<Scale, 'min' | 'max' | 'better' | 'datum'>;
  finishedAt: string;
  shared: boolean;
  /** Worst distance first, then what has none. */
  tasks: PracticeTask[];
  compared: number;
  mean: Shown;
  distance: Shown;
  withinOne: Shown;
}

/** GET /api/practice/:evaluation: what there is to rate, or how it went. */
export type PracticeView =
  | { kind: 'material'; material: PracticeMaterial }
  | { kind: 'compared'; comparison: PracticeComparison };

/** How one task went in one evaluation: counts alone, and of nobody. */
export interface ItemCounts {
  task: string;
  /** Counted ratings on each point of the scale, from its lowest. */
  points: readonly number[];
  /** Counted answers off the scale. */
  notApplicable: number;
  notObserved: number;
  abstained: number;
  /** Average deviation from the median; null below two ratings. */
  deviation: number | null;
  /** Pairs of ratings, and those within one step. */
  pairs: number;
  near: number;
  diverged: boolean;
}
