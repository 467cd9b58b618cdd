import * as v from 'valibot';
import { evaluationId, slug } from './ids.ts';
import { finite } from './numbers.ts';
import { line } from './text.ts';
import { operatorCode } from './trial.ts';

const whole = (min: number, max: number) =>
  v.pipe(v.number(), v.integer(), v.minValue(min), v.maxValue(max));
const minutes = (max: number) => v.pipe(finite, v.minValue(0), v.maxValue(max));
const component = v.pipe(finite, v.minValue(0), v.maxValue(1_000_000));

/** Variance by source, scale points squared, as whoever plans states it. */
export const statedVariances = v.strictObject({
  piece: component,
  reviewer: component,
  trial: component,
  pieceReviewer: component,
  pieceTrial: component,
  reviewerTrial: component,
  residual: component,
});
export type StatedVariances = v.InferOutput<typeof statedVariances>;

const distinct = (what: string) =>
  v.check((list: string[]) => new Set(list).size === list.length, `${what} stands twice.`);

/** POST /api/panels/:id/plan: everything a plan is made from, so that the same body gives the same plan. */
export const planBody = v.strictObject({
  /** How many reviewers: from variances of a locked evaluation, or stated ones; null leaves the question out. */
  size: v.nullable(
    v.strictObject({
      /** Wanted dependability (phi). */
      wanted: v.pipe(finite, v.minValue(0.01), v.maxValue(0.999)),
      from: v.union([
        v.strictObject({ evaluation: evaluationId }),
        v.strictObject({ stated: statedVariances }),
      ]),
    }),
  ),
  protocol: v.strictObject({ id: slug, version: v.pipe(v.string(), v.maxLength(20)) }),
  operators: v.pipe(
    v.array(operatorCode),
    v.minLength(1, 'Name at least one operator.'),
    v.maxLength(40),
    distinct('An operator'),
  ),
  /** What each operator does every task with, such as with and without the equipment. */
  conditions: v.pipe(
    v.array(line(1, 80)),
    v.minLength(1, 'Name at least one condition.'),
    v.maxLength(12),
    distinct('A condition'),
  ),
  /** Orders are drawn from it. */
  seed: whole(1, 4_294_967_295),
  tasks: v.pipe(
    v.array(
      v.strictObject({
        task: slug,
        trialMinutes: v.pipe(finite, v.minValue(0.1), v.maxValue(240)),
        resetMinutes: minutes(240),
        tiring: v.boolean(),
      }),
    ),
    v.minLength(1, 'Choose at least one task.'),
    v.maxLength(100),
  ),
  /** Counted trials of each operator, task and condition. */
  trials: whole(1, 20),
  rules: v.strictObject({
    restMinutes: minutes(240),
    breakMinutes: minutes(240),
    workMinutes: v.pipe(finite, v.minValue(1), v.maxValue(1440)),
    practice: whole(0, 10),
    dayMinutes: v.pipe(finite, v.minValue(1), v.maxValue(1440)),
  }),
  /** When the first trial begins, local time. */
  start: v.pipe(v.string(), v.regex(/^([01]\d|2[0-3]):[0-5]\d$/u, 'A time of day such as 09:00.')),
});
export type PlanBody = v.InferOutput<typeof planBody>;

/** Turns of one plan at most: a table nobody reads is no plan. */
export const PLAN_TURNS = 3000;

/** Reviewers for a wanted dependability. Phi in 0..1, standard errors in scale points. */
export type PlanSize =
  | {
      kind: 'evaluation';
      title: string;
      components: { task: number; reviewer: number; residual: number };
      /** Null when no number reaches it. */
      needed: number | null;
      table: { reviewers: number; phi: number; sem: number }[];
    }
  | { kind: 'stated'; sizes: { reviewers: number; trials: number; phi: number }[] }
  | { kind: 'none'; why: string };

/** One row of the day, minutes from its start. */
export interface PlanSlot {
  from: number;
  to: number;
  kind: 'practice' | 'trial' | 'break' | 'rest';
  task: string | null;
  operator: string | null;
  condition: string | null;
  /** From 1 within operator, task and condition. */
  trial: number | null;
}

export interface PlanAnswer {
  size: PlanSize | null;
  orders: {
    rows: { operator: string; row: number; conditions: string[] }[];
    balanced: boolean;
    note: string | null;
    seed: number;
    /** What draws numbers from the seed, for whoever draws them again. */
    generator: string;
  };
  day: { slots: PlanSlot[]; minutes: number; trials: number; notes: string[] } | { why: string };
  equipment: { title: string; tasks: string[] }[];
  /** To keep or to print elsewhere. */
  files: { name: string; type: string; text: string }[];
}
