import * as v from 'valibot';
import { decimal, seatId, slug } from './ids.ts';
import { CRITERION_STATUS } from './trial.ts';

/** A figure of the record, or why there is none. Decimal strings of 12 significant digits. */
export const figure = v.union([
  v.strictObject({ value: decimal }),
  v.strictObject({ undefinedBecause: v.string() }),
]);
export type FigureText = v.InferOutput<typeof figure>;

const interval = v.union([
  v.strictObject({ lower: decimal, upper: decimal, method: v.picklist(['t', 'jackknife-t']) }),
  v.strictObject({ undefinedBecause: v.string() }),
]);

/** The reviewers' statements in the composite, where the protocol gives them a weight. */
const endorsementShare = v.strictObject({
  /** Mean of the points that the counted statements stand for. */
  value: figure,
  /** Their share in the composite; "0" where none counts. */
  weight: decimal,
  /** Counted statements: of reviewers with a counted rating and without a declared tie. */
  content: v.pipe(v.number(), v.integer()),
  notContent: v.pipe(v.number(), v.integer()),
  /** The composite of the settled values alone. */
  without: figure,
});

const compositeOfSettled = v.strictObject({
  value: figure,
  /** There only where the protocol has a rule for it. */
  endorsement: v.optional(endorsementShare),
  /** Share of the section weights that rests on a rated task. Below 0.6 the composite is provisional. */
  weightUsed: decimal,
  provisional: v.boolean(),
  sections: v.array(
    v.strictObject({
      section: slug,
      value: figure,
      weight: decimal,
      rated: v.pipe(v.number(), v.integer()),
      of: v.pipe(v.number(), v.integer()),
    }),
  ),
});

/** The composite of the reviewers' mean ratings, with the interval that is centred on it. */
const compositeOfMeans = v.strictObject({
  value: figure,
  interval,
  byReviewer: v.array(v.strictObject({ seat: seatId, value: figure })),
  leaveOneOut: v.array(v.strictObject({ seat: seatId, value: figure })),
});

/** Every published figure of a locked evaluation: headline without declared interests, and with them. */
export const result = v.strictObject({
  verdict: v.strictObject({
    kind: v.picklist(['care-was-blocked', 'no-confirmed-critical-failure']),
    /** The tasks of upheld critical failures, in protocol order. */
    tasks: v.array(slug),
  }),
  /** Built from the settled value of each task. */
  composite: compositeOfSettled,
  means: compositeOfMeans,
  meansWithInterests: compositeOfMeans,
  /** Krippendorff's alpha, ordinal, counted reviewers only. */
  alphaOrdinal: figure,
  tasks: v.array(
    v.strictObject({
      task: slug,
      settled: figure,
      how: v.picklist(['adopt', 'decide', 'leave-open', 'no-ratings']),
      median: figure,
      /** Counted ratings, ascending. */
      n: v.pipe(v.number(), v.integer()),
      divergent: v.boolean(),
    }),
  ),
  counted: v.array(seatId),
  /**
   * What the trials said at the lock, for each task with a standing trial with the equipment in the task's state, in
   * protocol order. Absent from an evaluation into whose log no trial was ever entered.
   */
  evidence: v.optional(
    v.array(
      v.strictObject({
        task: slug,
        valid: v.pipe(v.number(), v.integer()),
        done: v.pipe(v.number(), v.integer()),
        /** Share done, and its Wilson 95 % limits. */
        share: decimal,
        lower: decimal,
        upper: decimal,
        medianSeconds: figure,
        /** Null where the task can never gate. */
        criterion: v.nullable(v.picklist(CRITERION_STATUS)),
      }),
    ),
  ),
});
export type Result = v.InferOutput<typeof result>;
