import type { SeriesPoint } from '@unhindered/shared-types';

/** Something marked on a plot: an instant, or a stretch to `to`. Seconds. */
export interface SeriesMark {
  from: number;
  to?: number;
  label: string;
  /** Taken by a stopwatch, and not found in the file: drawn whole, the others dotted. */
  taken?: boolean;
}

/** Round numbers within `least` and `most`, about `count` of them. */
export const roundTicks = (least: number, most: number, count: number): number[] => {
  const span = most - least;
  if (!(span > 0)) return [least];
  const rough = span / Math.max(1, count);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5].find((m) => m * power >= rough) ?? 10);
  const first = Math.ceil(least / step - 1e-9);
  const last = Math.floor(most / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) =>
    Number(((first + i) * step).toPrecision(12)),
  );
};

/** The ends of some curves; `least` and `most` hold zero, for the datum is part of every plot. */
export const extentOf = (
  curves: readonly (readonly SeriesPoint[])[],
): { from: number; to: number; least: number; most: number } => {
  let [from, to, least, most] = [Infinity, -Infinity, 0, 0];
  for (const { seconds, value } of curves.flat()) {
    from = Math.min(from, seconds);
    to = Math.max(to, seconds);
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return to >= from ? { from, to, least, most } : { from: 0, to: 0, least, most };
};

/** A stretch of a curve as the table beside a plot tells it. */
export interface Stretch {
  from: number;
  to: number;
  least: number;
  most: number;
}

/** The twin of a curve: stretches of equal length with their least and largest value; those without a point are left out. */
export const stretchesOf = (points: readonly SeriesPoint[], count = 24): Stretch[] => {
  const { from, to } = extentOf([points]);
  const width = (to - from) / count || 1;
  const found = new Map<number, Stretch>();
  for (const { seconds, value } of points) {
    const place = Math.min(count - 1, Math.floor((seconds - from) / width));
    const old = found.get(place);
    found.set(place, {
      from: from + place * width,
      to: Math.min(to, from + (place + 1) * width),
      least: Math.min(old?.least ?? value, value),
      most: Math.max(old?.most ?? value, value),
    });
  }
  return [...found].toSorted(([a], [b]) => a - b).map(([, stretch]) => stretch);
};

/** The path of a curve, broken where `gaps` say that samples are missing. */
export const curvePath = (
  points: readonly SeriesPoint[],
  x: (seconds: number) => number,
  y: (value: number) => number,
  gaps: readonly { from: number; to: number }[] = [],
): string => {
  let gap = 0;
  return points
    .map(({ seconds, value }, i) => {
      let broken = i === 0;
      while (gap < gaps.length && (gaps[gap]?.to ?? Infinity) <= seconds) {
        broken ||= (points[i - 1]?.seconds ?? seconds) <= (gaps[gap]?.from ?? 0);
        gap += 1;
      }
      return `${broken ? 'M' : 'L'}${x(seconds).toFixed(1)} ${y(value).toFixed(1)}`;
    })
    .join('');
};

/** A mark with its place on a plot, and the number above it, `up` pixels higher on the second line. */
export interface NumberedMark extends SeriesMark {
  at: number;
  up: number;
  number: string;
}

/** Pixels that a number needs for itself. */
const ROOM = 18;

/**
 * Marks in order of time, numbered from 1. A number that would touch the one before stands on the second line; where both
 * lines are taken, the one before says both: `4–6`.
 */
export const numberMarks = (
  marks: readonly SeriesMark[],
  x: (seconds: number) => number,
): NumberedMark[] => {
  const ends = [-Infinity, -Infinity];
  const found: NumberedMark[] = [];
  let said = 0;
  marks.forEach((mark, i) => {
    const at = x(mark.from);
    const line = ends.findIndex((end) => at - end >= ROOM);
    const before = found[said];
    if (line < 0 && before) {
      before.number = `${before.number.split('–')[0] ?? ''}–${String(i + 1)}`;
      ends[before.up / ROOM] = before.at + ROOM / 2;
      found.push({ ...mark, at, up: 0, number: '' });
      return;
    }
    said = i;
    ends[Math.max(0, line)] = at;
    found.push({ ...mark, at, up: ROOM * Math.max(0, line), number: String(i + 1) });
  });
  return found;
};
