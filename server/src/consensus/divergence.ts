import type { DivergenceConstants } from './divergence-rule.ts';
import { median } from './quantile.ts';
import { averageDistance } from './spread.ts';

export type FlagKind =
  | 'split-panel'
  | 'lone-voice'
  | 'critical-failure-dispute'
  | 'applicability-dispute'
  | 'evidence-against-rating';

/** One reason to talk a task through. */
export interface Flag {
  kind: FlagKind;
  /** Which rule raised it. */
  rule: string;
  /** The rule's constants in scale points; null where no distance is judged. */
  constants: { lone: number; split: number | null } | null;
  /** The reviewers it names by its definition; empty when no one stands apart. */
  reviewers: string[];
  /** Those of them to whom a sentence should point, see `pointsAt`; the same as `reviewers` elsewhere. */
  apart: string[];
  /** The distance it rests on, in scale points; 0 where it is not a distance. */
  size: number;
  /** Two ratings cannot say who stands apart; more can. */
  ratings: number;
}

interface Step {
  reviewer: string;
  value: number;
}

/**
 * What the counted reviewers said of one task. "Not observed" and "abstained" say nothing about the task, so
 * they raise no flag and are not in here.
 */
export interface TaskAnswers {
  steps: readonly Step[];
  notApplicable: readonly string[];
  /** Reviewers who propose a critical failure. */
  critical: readonly string[];
  /** Reviewers whose rating the measured trials speak against. */
  contradicted?: readonly string[];
}

/**
 * Above the noise of binary sums and of constants written with 12 digits (8 points / 6 is 1.33333333333 in a
 * log), below any step that averages of half points can make.
 */
const NOISE = 1e-9;

/** What to call a task with too few ratings for "who stands apart"; undefined from three ratings on. */
export const fewRatings = (
  ratings: number,
): 'no rating' | 'single reviewer' | 'two reviewers' | undefined =>
  (['no rating', 'single reviewer', 'two reviewers'] as const)[ratings];

/** Each rating's distance from the median of the other reviewers' ratings. */
export const distancesFromOthers = (values: readonly number[]): number[] => {
  const sorted = new Float64Array(values).sort();
  const others = sorted.length - 1;
  // The i-th of the others in order, when the one at `gone` is left out.
  const other = (i: number, gone: number): number => sorted[i < gone ? i : i + 1] ?? 0;
  // Equal ratings have the same others.
  const known = new Map<number, number>();
  return values.map((value) => {
    if (others < 1) return 0;
    const before = known.get(value);
    if (before !== undefined) return before;
    const gone = sorted.indexOf(value);
    const low = other(Math.floor((others - 1) / 2), gone);
    const high = other(Math.ceil((others - 1) / 2), gone);
    const distance = Math.abs(value - (low + high) / 2);
    known.set(value, distance);
    return distance;
  });
};

/**
 * With three ratings 0, 0, 5 each 0 is 2.5 from the median of its two others and the rule names all three;
 * a sentence should point at the 5 alone. So: those who are also `lone` or more from the median of all.
 */
const pointsAt = (named: readonly Step[], n: number, centre: number, lone: number): Step[] =>
  n < 3 ? [...named] : named.filter((s) => Math.abs(s.value - centre) >= lone - NOISE);

/**
 * CO-1: a task diverges under D1 when a rating stands `lone` points or more from the median of the others
 * (it is named), or when the average deviation from the median exceeds `split` (nobody is named).
 * With two ratings the distance is their difference; a single rating never diverges. Under the strict rule the
 * range alone decides, under the lenient one the distance from the median of all.
 */
export const ratingFlags = (answers: TaskAnswers, rule: DivergenceConstants): Flag[] => {
  const values = answers.steps.map((s) => s.value);
  if (values.length < 2) return [];
  const centre = median(values) ?? 0;
  const flag = (kind: FlagKind, named: readonly Step[], size: number): Flag => ({
    kind,
    rule: rule.id,
    constants: { lone: rule.lone, split: rule.split },
    reviewers: named.map((s) => s.reviewer),
    apart: pointsAt(named, values.length, centre, rule.lone).map((s) => s.reviewer),
    size,
    ratings: values.length,
  });
  const range = Math.max(...values) - Math.min(...values);
  if (rule.id === 'strict') {
    return range >= rule.lone - NOISE ? [flag('split-panel', [], range)] : [];
  }
  const distances =
    rule.id === 'lenient' ? values.map((v) => Math.abs(v - centre)) : distancesFromOthers(values);
  const named = answers.steps.filter((_, i) => (distances[i] ?? 0) >= rule.lone - NOISE);
  const flags = named.length > 0 ? [flag('lone-voice', named, Math.max(...distances))] : [];
  const split = rule.split !== null && (averageDistance(values, centre) ?? 0) > rule.split + NOISE;
  // Of two ratings both conditions say the same thing: one flag is enough.
  const said = values.length === 2 && flags.length > 0;
  return split && !said ? [...flags, flag('split-panel', [], range)] : flags;
};

/** Whom an applicability dispute names: the smaller side; of two equal sides, those who say not applicable. */
const smallerSide = ({ steps, notApplicable }: TaskAnswers): readonly string[] =>
  notApplicable.length <= steps.length ? notApplicable : steps.map((s) => s.reviewer);

/**
 * CO-4: every reason to talk a task through. Besides the rating rule: some propose a critical failure and
 * others who rated do not; at least one rates while at least one says the task does not apply (both our
 * rules); trials speak against a rating.
 */
export const divergenceFlags = (answers: TaskAnswers, rule: DivergenceConstants): Flag[] => {
  const ratings = answers.steps.length;
  const other = (kind: FlagKind, id: string, named: readonly string[]): Flag => {
    const reviewers = [...named];
    return { kind, rule: id, constants: null, reviewers, apart: reviewers, size: 0, ratings };
  };
  const flags = ratingFlags(answers, rule);
  const silent = answers.steps.filter((s) => !answers.critical.includes(s.reviewer));
  if (answers.critical.length > 0 && silent.length > 0) {
    flags.push(other('critical-failure-dispute', 'critical', answers.critical));
  }
  if (ratings > 0 && answers.notApplicable.length > 0) {
    flags.push(other('applicability-dispute', 'applicability', smallerSide(answers)));
  }
  if (answers.contradicted && answers.contradicted.length > 0) {
    flags.push(other('evidence-against-rating', 'evidence', answers.contradicted));
  }
  return flags;
};

/** One opened task as the queue sees it. `owed`: the moderator owes a decision on a critical failure. */
export interface QueuedTask {
  task: string;
  flags: readonly Flag[];
  weight: number;
  owed?: boolean;
}

/**
 * CO-5: order of talking: critical failures (disputed, or with a decision owed though nobody disputes it),
 * then distance, then the task's weight, then protocol order (the order given). Other tasks are left out.
 */
export const orderQueue = (tasks: readonly QueuedTask[]): string[] => {
  const critical = ({ flags, owed }: QueuedTask): number =>
    Number(owed === true || flags.some((f) => f.kind === 'critical-failure-dispute'));
  const largest = ({ flags }: QueuedTask): number => Math.max(0, ...flags.map((f) => f.size));
  return tasks
    .filter((t) => t.flags.length > 0 || t.owed === true)
    .toSorted((a, b) => critical(b) - critical(a) || largest(b) - largest(a) || b.weight - a.weight)
    .map((t) => t.task);
};
