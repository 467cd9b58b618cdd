import { bootstrapIntervals } from '../consensus/bootstrap-intervals.ts';
import { compositeOfMeans } from '../consensus/composite-of-means.ts';
import { composite } from '../consensus/composite.ts';
import { noFigure, valueOf, type Figure } from '../consensus/figure.ts';
import { mean } from '../consensus/mean.ts';
import { median } from '../consensus/quantile.ts';
import { present, type RatingTable } from '../consensus/table.ts';
import { NOT_RESAMPLED, type Chance } from './agreement-figures.ts';
import type { CompositeFigures } from './analysis.ts';
import { noted, part } from './noted.ts';
import type { RatingSource } from './rating-source.ts';

/** Fewest reviewers for a resampled interval: below, it covers 70 to 84 % only. */
const BOOTSTRAP_REVIEWERS = 8;
const REPLICATES = 1999;

const bootstrapOf = (
  byReviewer: readonly Figure[],
  chance: Chance | null,
): Figure<NonNullable<CompositeFigures['bootstrap']>> => {
  const values = byReviewer.flatMap((f) => valueOf(f) ?? []);
  if (values.length < BOOTSTRAP_REVIEWERS) {
    return noFigure(`fewer than ${String(BOOTSTRAP_REVIEWERS)} reviewers`);
  }
  if (!chance) return noFigure(NOT_RESAMPLED);
  const random = chance.stream();
  const draws = Array.from({ length: REPLICATES }, () =>
    values.map(() => Math.floor(random() * values.length)),
  );
  return part(bootstrapIntervals(values, draws), ({ percentile, bca }) => ({
    percentile,
    ...noted({ bca }),
    replicates: REPLICATES,
    seed: chance.seed,
  }));
};

const overTasks = (
  { tasks, cells }: RatingTable,
  of: (values: readonly number[]) => number | undefined,
) => {
  const values = new Map(tasks.map((t, i) => [t, of(present(cells[i] ?? []))]));
  return (task: string): number | undefined => values.get(task);
};

/** The composite of mean ratings with its interval, what carries it, and the composite of medians beside it. */
export const compositeFigures = (
  { table, sections }: RatingSource,
  chance: Chance | null,
): CompositeFigures => {
  const means = compositeOfMeans(table, sections);
  const of = composite(sections, overTasks(table, mean));
  const medians = composite(sections, overTasks(table, median));
  const { interval, value } = means;
  const by = (figures: readonly Figure[], j: number): Figure => figures[j] ?? noFigure('no rating');
  return {
    ...noted({
      value,
      lower: part(interval, (i) => i.lower),
      upper: part(interval, (i) => i.upper),
      of_medians: medians.value,
      method: part(interval, (i) => i.method),
      bootstrap: bootstrapOf(means.byReviewer, chance),
    }),
    by_reviewer: table.reviewers.map((reviewer, j) => ({
      reviewer,
      ...noted({ value: by(means.byReviewer, j) }),
    })),
    leave_one_out: table.reviewers.map((reviewer, j) => {
      const left = by(means.leaveOneOut, j);
      const change = value.ok ? part(left, (x) => x - value.value) : value;
      return { reviewer, ...noted({ value: left, change }) };
    }),
    sections: of.sections.map((s) => ({
      section: s.id,
      ...noted({ value: s.value }),
      weight: s.weight,
      rated: s.rated,
      of: s.of,
    })),
    weight_used: of.weightUsed,
    provisional: of.provisional,
  };
};
