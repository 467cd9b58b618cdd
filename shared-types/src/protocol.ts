import * as v from 'valibot';
import { taskCriterion } from './criterion.ts';
import { slug } from './ids.ts';
import { finite } from './numbers.ts';
import { scale } from './scale.ts';
import { line, text } from './text.ts';

export const PROTOCOL_FORMAT = 'unhindered-protocol/1';

export const measureId = v.pipe(v.string(), v.regex(/^[a-z][A-Za-z0-9_-]{0,63}$/u));

/** A kit condition in which a task is rated: as worn, chin strap released, face mask removed ... */
const equipmentState = v.strictObject({ id: slug, title: line(1, 80) });
const tool = v.strictObject({ id: slug, title: line(1, 80) });

/** A measured quantity with its limits of entry. `threshold` is a sentence, shown only beside its source. */
export const measure = v.strictObject({
  id: measureId,
  name: line(1, 120),
  symbol: line(0, 40),
  unit: line(0, 40),
  decimals: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(6)),
  rejectMin: v.nullable(finite),
  rejectMax: v.nullable(finite),
  warnMin: v.nullable(finite),
  warnMax: v.nullable(finite),
  better: v.picklist(['lower', 'higher', 'target', 'none']),
  threshold: v.nullable(text(1, 400)),
  source: v.nullable(text(1, 600)),
});

export const task = v.strictObject({
  id: slug,
  title: line(1, 120),
  /** relative: against the same athlete without the equipment; absolute: time or count bands. */
  basis: v.picklist(['relative', 'absolute']),
  optional: v.boolean(),
  /** The equipment state in which the task is rated. */
  state: slug,
  does: text(1, 2000),
  /** One sentence for each point of the scale, from min to max. */
  anchors: v.array(text(1, 300)),
  /** The trial criterion of a critical failure; null when this task can never gate. */
  critical: v.nullable(text(1, 600)),
  /**
   * What measured values decide of that criterion; the recorder's mark decides where they tell nothing. Absent, the
   * mark alone does.
   */
  criterion: v.optional(taskCriterion),
  measures: v.array(measureId),
  tools: v.array(slug),
  /** Whether a reviewer who only sees video can judge it. */
  onVideo: v.picklist(['yes', 'partly', 'no']),
  notApplicable: text(1, 600),
  caution: text(1, 600),
  weight: v.pipe(finite, v.minValue(0), v.maxValue(1_000_000)),
});

const section = v.strictObject({
  id: slug,
  letter: v.pipe(v.string(), v.regex(/^[A-Z]{1,2}$/u)),
  title: line(1, 80),
  weight: v.pipe(finite, v.minValue(0), v.maxValue(1_000_000)),
  tasks: v.pipe(v.array(task), v.minLength(1), v.maxLength(500)),
});

/** Ordered techniques towards one goal, each tried when the one before fails or reaches its cap. */
const ladder = v.strictObject({
  id: slug,
  goal: line(1, 120),
  rungs: v.pipe(
    v.array(v.strictObject({ task: slug, capSeconds: v.nullable(v.pipe(finite, v.minValue(1))) })),
    v.minLength(2),
  ),
});

/** Constants of the divergence rule, in scale points. */
export const divergenceRule = v.strictObject({
  id: v.picklist(['D1', 'strict', 'lenient']),
  /** Distance from the median of the other reviewers that names a lone voice. */
  lone: v.pipe(finite, v.minValue(0)),
  /** Average deviation from the median above which the panel is split; null when unused. */
  split: v.nullable(v.pipe(finite, v.minValue(0))),
  /**
   * When measured trials speak against a rating, in scale points: `better`, nearer than this to the best point although
   * the trial criterion is met; `worst`, this near to the worst point although every trial was done and none met it.
   * Null switches it off; absent, it is half the scale's width and 0.
   */
  evidence: v.optional(
    v.nullable(
      v.strictObject({
        better: v.pipe(finite, v.minValue(0)),
        worst: v.pipe(finite, v.minValue(0)),
      }),
    ),
  ),
});

const endorsementRule = v.strictObject({
  weight: v.pipe(finite, v.minValue(0), v.maxValue(1_000_000)),
  content: finite,
  notContent: finite,
});

const cautions = v.strictObject({
  scope: text(1, 1000),
  thresholds: text(1, 1000),
  session: text(1, 1000),
  gate: text(1, 1000),
  comparison: text(1, 1000),
  removal: text(1, 1000),
  remote: text(1, 1000),
  skills: text(1, 1000),
  incident: text(1, 1000),
  consent: text(1, 1000),
});

/** A protocol file: everything a panel needs to judge a piece the same way every time. Published versions never change. */
export const protocol = v.strictObject({
  format: v.literal(PROTOCOL_FORMAT),
  id: slug,
  version: v.pipe(v.string(), v.regex(/^\d{1,4}\.\d{1,4}\.\d{1,4}$/u)),
  title: line(1, 120),
  /** Language of its words (BCP 47, such as de or en-GB). Without it they are taken to be English. */
  language: v.optional(v.pipe(v.string(), v.regex(/^[a-z]{2,3}(?:-[A-Za-z\d]{2,8}){0,3}$/u))),
  /** True for invented demonstration material: every screen and file then says so. */
  invented: v.boolean(),
  scale,
  states: v.pipe(v.array(equipmentState), v.minLength(1), v.maxLength(50)),
  tools: v.pipe(v.array(tool), v.maxLength(200)),
  measures: v.pipe(v.array(measure), v.maxLength(500)),
  sections: v.pipe(v.array(section), v.minLength(1), v.maxLength(50)),
  ladders: v.pipe(v.array(ladder), v.maxLength(50)),
  divergence: divergenceRule,
  gate: v.strictObject({
    minValidTrials: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(100)),
    minShareOfValidTrials: v.pipe(finite, v.minValue(0), v.maxValue(1)),
  }),
  /** Minutes between two trials of one operator at any of these tasks, which tire; absent, a rule of the house is used. */
  rest: v.optional(
    v.strictObject({
      minutes: v.pipe(finite, v.minValue(0), v.maxValue(1440)),
      tasks: v.pipe(v.array(slug), v.maxLength(500)),
    }),
  ),
  /**
   * What the reviewers' statements, whether they would be content to see the piece worn, do to the composite. Absent,
   * nothing: they are counted apart. `weight` is in the unit of the sections' weights, as if the statements were one
   * more section; `content` and `notContent` are the points of the scale that a yes and a no stand for. Who says
   * nothing, being undecided, enters neither.
   */
  endorsement: v.optional(endorsementRule),
  rounds: v.strictObject({ limit: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(9)) }),
  /** Whether reviewers see trials before they rate. */
  evidenceBeforeRating: v.boolean(),
  cautions,
});

export type Protocol = v.InferOutput<typeof protocol>;
export type ProtocolTask = v.InferOutput<typeof task>;
export type ProtocolSection = v.InferOutput<typeof section>;
export type ProtocolMeasure = v.InferOutput<typeof measure>;
export type EndorsementRule = v.InferOutput<typeof endorsementRule>;
export type DivergenceRule = v.InferOutput<typeof divergenceRule>;
