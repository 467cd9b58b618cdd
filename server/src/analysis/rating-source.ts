import type { CompositeSection } from '../consensus/composite.ts';
import { mean } from '../consensus/mean.ts';
import type { RatingCells, RatingScale, RatingTable } from '../consensus/table.ts';
import type { ListedRating } from './rating-list.ts';

/** A list of ratings as the tables that figures are computed from. */
export interface RatingSource {
  /** The last rating of each reviewer; with trials, the mean of that reviewer's trials. */
  table: RatingTable;
  /** Rows for figures that need points of the scale: each trial of a task is a row of its own. */
  units: RatingCells;
  sections: CompositeSection[];
  /** One table a round, in order, rows and columns as in `table`. */
  rounds: { round: number; cells: RatingCells }[];
  /** `[task][reviewer]` the repeated ratings; empty where there are none. Undefined without a trial column. */
  trials: readonly (readonly (readonly number[])[])[] | undefined;
  sectionOf: ReadonlyMap<string, string>;
}

const WHOLE = 'all tasks';

const distinct = <T>(values: readonly T[]): T[] => [...new Set(values)];

/** Ratings of one task and reviewer, by trial, from the last round that has one. */
const lastRound = (cell: readonly ListedRating[]): ListedRating[] => {
  const rated = cell.filter((r) => r.rating !== undefined);
  const last = Math.max(0, ...rated.map((r) => r.round));
  return rated.filter((r) => r.round === last);
};

const valueOf = (cell: readonly ListedRating[]): number | undefined =>
  mean(cell.flatMap((r) => r.rating ?? []));

/**
 * Sections in order of appearance; a task's weight is 1 unless given, a section's the sum of its tasks'
 * weights, so that the composite of a complete table is the weighted mean of its tasks.
 */
const sectionsOf = (tasks: readonly string[], first: ReadonlyMap<string, ListedRating>) => {
  const sectionOf = new Map(tasks.map((t) => [t, first.get(t)?.section ?? WHOLE]));
  const sections = distinct([...sectionOf.values()]).map((id): CompositeSection => {
    const own = tasks
      .filter((t) => sectionOf.get(t) === id)
      .map((t) => ({ id: t, weight: first.get(t)?.weight ?? 1 }));
    return { id, weight: own.reduce((sum, t) => sum + t.weight, 0), tasks: own };
  });
  return { sections, sectionOf };
};

/** Builds the tables; tasks and reviewers stand in order of appearance, a task without any rating stays. */
export const ratingSource = (
  ratings: readonly ListedRating[],
  scale: RatingScale,
): RatingSource => {
  const tasks = distinct(ratings.map((r) => r.task));
  const reviewers = distinct(ratings.map((r) => r.reviewer));
  const first = new Map<string, ListedRating>();
  const cells = new Map<string, ListedRating[]>();
  const key = (task: string, reviewer: string): string => JSON.stringify([task, reviewer]);
  for (const r of ratings) {
    if (!first.has(r.task)) first.set(r.task, r);
    const at = key(r.task, r.reviewer);
    cells.set(at, [...(cells.get(at) ?? []), r]);
  }
  const cellOf = (task: string, reviewer: string) => cells.get(key(task, reviewer)) ?? [];
  const grid = <T>(of: (cell: readonly ListedRating[]) => T): T[][] =>
    tasks.map((t) => reviewers.map((r) => of(cellOf(t, r))));
  const trialNames = distinct(ratings.map((r) => r.trial)).filter((t) => t !== '');
  const units =
    trialNames.length === 0
      ? grid((cell) => valueOf(lastRound(cell)))
      : trialNames.flatMap((name) =>
          grid((cell) => valueOf(lastRound(cell).filter((r) => r.trial === name))),
        );
  return {
    table: { scale, tasks, reviewers, cells: grid((cell) => valueOf(lastRound(cell))) },
    units,
    rounds: distinct(ratings.map((r) => r.round))
      .toSorted((a, b) => a - b)
      .map((round) => ({
        round,
        cells: grid((cell) => valueOf(cell.filter((r) => r.round === round))),
      })),
    trials:
      trialNames.length === 0
        ? undefined
        : grid((cell) => lastRound(cell).flatMap((r) => r.rating ?? [])),
    ...sectionsOf(tasks, first),
  };
};
