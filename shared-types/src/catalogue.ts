import * as v from 'valibot';
import type { FigureText } from './figures.ts';
import type { Protocol } from './protocol.ts';
import type { RecordState } from './record-state.ts';
import type { Scale } from './scale.ts';
import type { Shown } from './shown.ts';
import type { Specimen } from './specimen.ts';

/** Evaluations side by side at most: more rows than fit a screen are not read, they are scanned. */
export const COMPARE_LIMIT = 12;
/** Rows of one answer. */
export const CATALOGUE_PAGE = 50;

type PieceOf = Pick<
  Specimen,
  'kind' | 'sport' | 'maker' | 'model' | 'year' | 'size' | 'condition' | 'fastening'
>;

/** One locked evaluation as a line of the catalogue: published figures, and no seat, name or rating. */
export interface CatalogueRow {
  evaluation: string;
  title: string;
  specimen: PieceOf;
  /** `language` is absent from lines made before they told it. */
  protocol: Pick<Protocol, 'id' | 'version' | 'title' | 'invented' | 'language'>;
  lockedAt: string;
  state: RecordState;
  /** The evaluation that this one does again. */
  reevaluates: string | null;
  verdict: { kind: 'care-was-blocked' | 'no-confirmed-critical-failure'; tasks: string[] };
  /** Composite of the settled values, steps. */
  composite: FigureText;
  /** Share of the reviewers' statements in it and the composite without them; absent where they carry no weight. */
  endorsement?: { weight: string; without: FigureText } | undefined;
  provisional: boolean;
  /** Composite of mean ratings and its 95 % interval, which is centred on it. */
  means: FigureText;
  interval: { lower: string; upper: string } | { undefinedBecause: string };
  scale: Pick<Scale, 'min' | 'max' | 'better' | 'datum'>;
  /** Reviewers whose ratings count. */
  reviewers: number;
  /** Its ratings were brought in from paper. Absent from lines made before there was such a thing. */
  paper?: boolean | undefined;
}

const choice = v.optional(v.pipe(v.string(), v.maxLength(120)));

/** GET /api/catalogue: search words (every one must be found) and filters; all optional. */
export const catalogueQuery = v.strictObject({
  q: v.optional(v.pipe(v.string(), v.maxLength(200))),
  sport: choice,
  kind: choice,
  maker: choice,
  /** `<id> <version>`. */
  protocol: choice,
  verdict: v.optional(v.picklist(['care-was-blocked', 'no-confirmed-critical-failure'])),
  state: v.optional(v.picklist(['current', 'superseded', 'withdrawn'])),
  /** First and last day of the lock, YYYY-MM-DD, UTC, both included. */
  from: v.optional(v.pipe(v.string(), v.isoDate())),
  to: v.optional(v.pipe(v.string(), v.isoDate())),
  sort: v.optional(v.picklist(['newest', 'oldest', 'gentlest', 'harshest', 'maker'])),
  page: v.optional(v.pipe(v.string(), v.regex(/^[1-9]\d{0,4}$/u), v.transform(Number))),
});
export type CatalogueQuery = v.InferOutput<typeof catalogueQuery>;

/** The filters that have a list of choices. */
export const FACETS = ['sport', 'kind', 'maker', 'protocol', 'verdict', 'state'] as const;
export type Facet = (typeof FACETS)[number];

export interface CatalogueAnswer {
  rows: CatalogueRow[];
  /** Rows found in all, of `of` in the catalogue. */
  total: number;
  of: number;
  page: number;
  pages: number;
  /** What each filter would still find with the others as they are, most first. */
  facets: Record<Facet, { value: string; count: number }[]>;
}

/** One evaluation in a comparison. */
export interface ComparedEvaluation extends CatalogueRow {
  sections: {
    section: string;
    letter: string;
    title: string;
    value: Shown;
    rated: number;
    of: number;
  }[];
  /** Settled values farthest from the good end, worst first, five at most. */
  worst: { task: string; title: string; value: number; blocked: boolean }[];
  /** Share of the class with a composite below this one (ties half), 0..100, with how many others. */
  standing: { value: number; others: number } | { why: string };
  /** The composite drawn towards the mean of its class, with a standard error. */
  shrunken: { value: number; se: number } | { why: string };
}

/** Two evaluations over the tasks that both settled. Differences are `a` minus `b`, scale points. */
export type ComparedPair = { a: string; b: string } & (
  | {
      comparable: true;
      tasks: number;
      mean: number;
      lower: number;
      upper: number;
      /** P(`a` above `b`) over the common tasks, ties half. */
      superiority: number;
      /** Two-sided p of the t statistic over tasks, and the same after Holm over every pair asked for. */
      p: number;
      holm: number;
      /** Over the reviewers who rated both, where one panel did. */
      sameReviewers: { n: number; mean: number; lower: number; upper: number } | null;
    }
  | { comparable: false; why: string }
);

/** The mean of a class: current evaluations of one kind under one protocol version. */
export interface PooledClass {
  kind: string;
  protocol: { id: string; version: string };
  /** Evaluations pooled; `leftOut` have no interval to weigh them by. */
  n: number;
  leftOut: number;
  pooled:
    | {
        mean: number;
        lower: number;
        upper: number;
        /** Spread between evaluations, steps (the root of tau squared). */
        tau: number;
        i2: number;
        /** Where a further evaluation would lie; from five. */
        prediction: { lower: number; upper: number } | null;
      }
    | { why: string };
}

/** Evaluations of one model, oldest first. */
export interface ModelSeries {
  maker: string;
  model: string;
  rows: CatalogueRow[];
  /** Each evaluation against the one before it. */
  steps: ComparedPair[];
}

/** GET /api/compare?ids=a,b,c */
export interface ComparisonAnswer {
  evaluations: ComparedEvaluation[];
  pairs: ComparedPair[];
  classes: PooledClass[];
  series: ModelSeries[];
  /** Pairs compared, and how many of them would show a difference by chance alone. */
  multiplicity: { pairs: number; byChance: number };
}

/** GET /api/evaluations/:id/publication, for the evaluation's moderators. */
export interface PublicationAnswer {
  evaluation: string;
  panel: string;
  title: string;
  model: string;
  state: RecordState;
  links: {
    link: string;
    what: 'record' | 'card';
    names: boolean;
    madeAt: string;
    ended: boolean;
  }[];
  /** Locked evaluations that could take this one's place, newest first. */
  successors: { evaluation: string; title: string; lockedAt: string; sameModel: boolean }[];
}
