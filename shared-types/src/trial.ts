import * as v from 'valibot';
import { BOARD_KEY } from './board-key.ts';
import { decimal, instant, modelCode, sha256Hex, slug } from './ids.ts';
import { measureId } from './protocol.ts';
import { line, shortReason, text } from './text.ts';

/**
 * How a trial was done: with the equipment; the same task without it; to learn the task; with a fault in the
 * hardware that the operator did not know of. Only the first counts as evidence on the piece, the second beside it.
 */
export const TRIAL_CONDITIONS = ['equipment', 'reference', 'practice', 'hidden-fault'] as const;
export const trialCondition = v.picklist(TRIAL_CONDITIONS);
export type TrialCondition = v.InferOutput<typeof trialCondition>;

/** A measured value in the measure's unit, as `decimal12` writes it. */
export const quantity = v.pipe(
  decimal,
  v.maxLength(24),
  v.check((s) => s !== '-0', 'Zero has no sign.'),
);

/** Longest trial, seconds. */
export const TRIAL_SECONDS_MAX = 86_400;

/** Seconds with at most three decimals. */
export const seconds = v.pipe(
  v.string(),
  v.regex(/^(0|[1-9]\d{0,4})(\.\d{0,2}[1-9])?$/u),
  v.check((s) => Number(s) <= TRIAL_SECONDS_MAX, 'A trial takes at most a day.'),
);

/** Who performed: a letter or number given on the day, never a name, for the log keeps it for good. */
export const operatorCode = v.pipe(v.string(), v.regex(/^[A-Z0-9][A-Z0-9-]{0,11}$/u));

const key = v.pipe(v.string(), v.regex(BOARD_KEY));

const measured = v.strictObject({
  measure: measureId,
  value: quantity,
  /** With a share: how many of how many, which its interval needs. */
  counts: v.nullable(
    v.pipe(
      v.strictObject({
        successes: v.pipe(v.number(), v.integer(), v.minValue(0)),
        of: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(100_000)),
      }),
      v.check((c) => c.successes <= c.of, 'A part is not more than all.'),
    ),
  ),
});

/**
 * A file that values of a trial came from, and how it was read, so that who has the file can have it read again. The
 * file itself is not kept.
 */
const trialSource = v.strictObject({
  /** Its name on the device. */
  file: line(1, 120),
  sha256: sha256Hex,
  rows: v.pipe(v.number(), v.integer(), v.minValue(1)),
  /** The declared conventions: JSON text of a `SeriesQuestion`, signs beyond ASCII escaped. */
  as: v.pipe(v.string(), v.regex(/^\{[ -~]{1,2998}\}$/u)),
  /** The program that read it, with its version. */
  software: line(1, 80),
  /** The measures whose values it gave. */
  measures: v.pipe(v.array(measureId), v.minLength(1)),
});
export type TrialSource = v.InferOutput<typeof trialSource>;

const split = v.strictObject({ label: line(0, 40), seconds });

/**
 * One performance of a task. `done` false means not done when it was stopped, at `seconds` if that was taken: such a
 * time is a censored one. `criterion`: whether the protocol's trial criterion of a critical failure was met, null where
 * nobody judged it. A correction is a new entry that names the old one in `replaces`; the old one stays.
 *
 * SR-5: a value that came from a file names it: `sources` tells its name, hash and rows, how it was read and by what.
 */
export const trialEntry = v.pipe(
  v.strictObject({
    kind: v.literal('trial'),
    task: slug,
    /** The equipment state it was done in. */
    state: slug,
    condition: trialCondition,
    operator: operatorCode,
    /** The living model who wore the piece; absent with a manikin, and in entries of before models were asked for. */
    model: v.optional(modelCode),
    done: v.boolean(),
    seconds: v.nullable(seconds),
    splits: v.pipe(v.array(split), v.maxLength(20)),
    measures: v.pipe(v.array(measured), v.maxLength(70)),
    criterion: v.nullable(v.boolean()),
    note: v.nullable(text(1, 1000)),
    /** The device's clock when the trial was entered. */
    at: instant,
    replaces: v.nullable(key),
    /** Absent where nothing came from a file. */
    sources: v.optional(v.pipe(v.array(trialSource), v.minLength(1), v.maxLength(4))),
  }),
  v.check(
    (t) =>
      t.splits.every((s, i) => i === 0 || Number(s.seconds) >= Number(t.splits[i - 1]?.seconds)),
    'Splits follow one another.',
  ),
  v.check(
    (t) => t.splits.every((s) => t.seconds === null || Number(s.seconds) <= Number(t.seconds)),
    'A split lies before the end.',
  ),
  v.check(
    (t) => new Set(t.measures.map((m) => m.measure)).size === t.measures.length,
    'Each measure stands once.',
  ),
  v.check(({ sources = [], measures }) => {
    const named = sources.flatMap((s) => s.measures);
    const there = new Set(measures.map((m) => m.measure));
    return new Set(named).size === named.length && named.every((m) => there.has(m));
  }, 'A file names values that the trial has, each value one file.'),
);
export type TrialEntry = v.InferOutput<typeof trialEntry>;

/** Takes a trial out of the evidence, with the reason. By its author or a moderator; the trial stays on show. */
export const trialVoid = v.strictObject({
  kind: v.literal('trial-void'),
  task: slug,
  trial: key,
  reason: shortReason,
  at: instant,
});
export type TrialVoid = v.InferOutput<typeof trialVoid>;

/** Whether the protocol's trial criterion of a critical failure is met. */
export const CRITERION_STATUS = ['met', 'not-met', 'not-enough-trials'] as const;
export type CriterionStatus = (typeof CRITERION_STATUS)[number];
