import { median } from './quantile.ts';
import { adMedian } from './spread.ts';
import { pointCount, type RatingScale } from './table.ts';

/** Constants of a divergence rule, in scale points. `split` is null for rules that look at one voice only. */
export interface DivergenceConstants {
  id: 'D1' | 'strict' | 'lenient';
  lone: number;
  split: number | null;
}

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
  /** The reviewers it names; empty when no one stands apart. */
  reviewers: string[];
  /** The distance it rests on, in scale points; 0 where it is not a distance. */
  size: number;
  /** Two ratings cannot say who stands apart; more can. */
  ratings: number;
}

/** What the counted reviewers said of one task. */
export interface TaskAnswers {
  steps: readonly { reviewer: string; value: number }[];
  notApplicable: readonly string[];
  /** Reviewers who propose a critical failure. */
  critical: readonly string[];
  /** Reviewers whose rating the measured trials speak against. */
  contradicted?: readonly string[];
}

const NOISE = 1e-12;

/** D1 on any scale: half its width, and the published cut of the average deviation (points / 6). */
export const defaultRule = (scale: RatingScale): DivergenceConstants => ({
  id: 'D1',
  lone: (scale.max - scale.min) / 2,
  split: pointCount(scale) / 6,
});

/** More flags, also false ones: the range reaches three fifths of the scale's width. */
export const strictRule = (scale: RatingScale): DivergenceConstants => ({
  id: 'strict',
  lone: (3 * (scale.max - scale.min)) / 5,
  split: null,
});

/** Fewer flags: some rating is three fifths of the width from the median of all. */
export const lenientRule = (scale: RatingScale): DivergenceConstants => ({
  ...strictRule(scale),
  id: 'lenient',
});

/** Each rating's distance from the median of the other reviewers' ratings. */
export const distancesFromOthers = (values: readonly number[]): number[] =>
  values.map((value, i) => Math.abs(value - (median(values.toSpliced(i, 1)) ?? value)));

/**
 * CO-1: a task diverges under D1 when a rating stands `lone` points or more from the median of the others
 * (it is named), or when the average deviation from the median exceeds `split` (nobody is named).
 * With two ratings the distance is their difference; a single rating never diverges.
 */
const ratingFlags = (answers: TaskAnswers, rule: DivergenceConstants): Flag[] => {
  const values = answers.steps.map((s) => s.value);
  if (values.length < 2) return [];
  const flag = (kind: FlagKind, reviewers: string[], size: number): Flag => ({
    kind,
    rule: rule.id,
    reviewers,
    size,
    ratings: values.length,
  });
  const range = Math.max(...values) - Math.min(...values);
  if (rule.id === 'strict') {
    return range >= rule.lone - NOISE ? [flag('split-panel', [], range)] : [];
  }
  const centre = median(values) ?? 0;
  const distances =
    rule.id === 'lenient' ? values.map((v) => Math.abs(v - centre)) : distancesFromOthers(values);
  const apart = answers.steps.filter((_, i) => (distances[i] ?? 0) >= rule.lone - NOISE);
  const flags: Flag[] = [];
  if (apart.length > 0) {
    flags.push(
      flag(
        'lone-voice',
        apart.map((s) => s.reviewer),
        Math.max(...distances),
      ),
    );
  }
  if (rule.split !== null && (adMedian(values) ?? 0) > rule.split + NOISE) {
    flags.push(flag('split-panel', [], range));
  }
  return flags;
};

/**
 * Every reason to talk a task through. Besides the rating rule: some propose a critical failure and others
 * who rated do not; some rate while others say it does not apply (our rule); trials speak against a rating.
 */
export const divergenceFlags = (answers: TaskAnswers, rule: DivergenceConstants): Flag[] => {
  const flags: Flag[] = [];
  const ratings = answers.steps.length;
  const other = (kind: FlagKind, id: string, reviewers: readonly string[]): void => {
    flags.push({ kind, rule: id, reviewers: [...reviewers], size: 0, ratings });
  };
  const silent = answers.steps.filter((s) => !answers.critical.includes(s.reviewer));
  if (answers.critical.length > 0 && silent.length > 0) {
    other('critical-failure-dispute', 'critical', answers.critical);
  }
  flags.push(...ratingFlags(answers, rule));
  if (ratings > 0 && answers.notApplicable.length > 0) {
    const fewer =
      answers.notApplicable.length <= ratings
        ? answers.notApplicable
        : answers.steps.map((s) => s.reviewer);
    other('applicability-dispute', 'applicability', fewer);
  }
  if (answers.contradicted && answers.contradicted.length > 0) {
    other('evidence-against-rating', 'evidence', answers.contradicted);
  }
  return flags;
};

/**
 * Whether the rating flags are still there when each reviewer's habit is taken out. `habit` gives the additive
 * effect of a reviewer (positive: rates higher than the panel), undefined when it cannot be estimated.
 */
export const flagsWithoutHabits = (
  answers: TaskAnswers,
  rule: DivergenceConstants,
  habit: (reviewer: string) => number | undefined,
): Flag[] =>
  ratingFlags(
    {
      ...answers,
      steps: answers.steps.map((s) => ({ ...s, value: s.value - (habit(s.reviewer) ?? 0) })),
    },
    rule,
  );

/** Order of talking: disputed critical failures, then distance, then the task's weight, then protocol order. */
export const orderQueue = (
  tasks: readonly { task: string; flags: readonly Flag[]; weight: number }[],
): string[] => {
  const disputed = (flags: readonly Flag[]): number =>
    flags.some((f) => f.kind === 'critical-failure-dispute') ? 1 : 0;
  const largest = (flags: readonly Flag[]): number => Math.max(...flags.map((f) => f.size));
  return tasks
    .filter((t) => t.flags.length > 0)
    .map((t, order) => ({ ...t, order }))
    .toSorted(
      (a, b) =>
        disputed(b.flags) - disputed(a.flags) ||
        largest(b.flags) - largest(a.flags) ||
        b.weight - a.weight ||
        a.order - b.order,
    )
    .map((t) => t.task);
};
