import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import type { Protocol, Result } from '@unhindered/shared-types';
import { decimalText, known, unknown } from './text.ts';

type Column = ReadonlyMap<string, number>;

/** Weighted composite of values by task; undefined when no rated task carries weight. */
export const weighted = (
  p: Protocol,
  value: (task: string) => number | undefined,
): { value: number | undefined; sections: { mean: number | undefined; rated: number }[] } => {
  let weights = 0;
  let total = 0;
  const sections = p.sections.map((s) => {
    let w = 0;
    let sum = 0;
    let rated = 0;
    for (const t of s.tasks) {
      const v = value(t.id);
      if (v === undefined || t.weight === 0) continue;
      w += t.weight;
      sum += t.weight * v;
      rated++;
    }
    const mean = w > 0 ? sum / w : undefined;
    if (mean !== undefined) {
      weights += s.weight;
      total += s.weight * mean;
    }
    return { mean, rated };
  });
  return { value: weights > 0 ? total / weights : undefined, sections };
};

const average = (values: readonly number[]): number | undefined =>
  values.length === 0
    ? undefined
    : (values[0] ?? 0) + values.reduce((s, v) => s + (v - (values[0] ?? 0)), 0) / values.length;

const overMeans = (p: Protocol, columns: readonly Column[]): number | undefined =>
  weighted(p, (task) => average(columns.flatMap((c) => (c.has(task) ? [c.get(task) ?? 0] : []))))
    .value;

const deviation = (values: readonly number[]): number => {
  const m = average(values) ?? 0;
  return Math.sqrt(values.reduce((s, v) => s + (v - m) ** 2, 0) / (values.length - 1));
};

const text = (value: number | undefined) =>
  value === undefined ? unknown('no rated task carries weight') : known(value);

const intervalOf = (
  p: Protocol,
  columns: readonly Column[],
  centre: number,
  without: readonly (number | undefined)[],
): Result['means']['interval'] => {
  const k = columns.length;
  if (k < 3) return unknown('too few reviewers for an interval') as { undefinedBecause: string };
  const tasks = new Set(columns.flatMap((c) => [...c.keys()]));
  const whole = [...tasks].every((t) => columns.every((c) => c.has(t)));
  const method = whole ? ('t' as const) : ('jackknife-t' as const);
  let values: number[];
  if (whole) values = columns.map((c) => overMeans(p, [c]) ?? 0);
  else {
    if (without.some((w) => w === undefined)) {
      return { undefinedBecause: 'without one reviewer no rated task is left' };
    }
    values = without.map((w) => k * centre - (k - 1) * (w ?? 0));
  }
  const half = (tQuantile(0.975, k - 1) * deviation(values)) / Math.sqrt(k);
  return { lower: decimalText(centre - half), upper: decimalText(centre + half), method };
};

/** The composite of mean ratings with interval, own composites and leave-one-out, from each reviewer's ratings. */
export const meansFigures = (
  p: Protocol,
  reviewers: readonly { seat: string; ratings: Column }[],
): Result['means'] => {
  const columns = reviewers.map((r) => r.ratings);
  const centre = overMeans(p, columns);
  const without = columns.map((_, i) =>
    overMeans(
      p,
      columns.filter((__, j) => j !== i),
    ),
  );
  return {
    value: text(centre),
    interval:
      centre === undefined
        ? { undefinedBecause: 'no rated task carries weight' }
        : intervalOf(p, columns, centre, without),
    byReviewer: reviewers.map((r) => ({ seat: r.seat, value: text(overMeans(p, [r.ratings])) })),
    leaveOneOut: reviewers.map((r, i) => ({ seat: r.seat, value: text(without[i]) })),
  };
};
