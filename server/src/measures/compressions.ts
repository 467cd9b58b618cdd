import type { CompressionFigures, Pause, Share, Span } from '@unhindered/shared-types';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { mean } from '../consensus/mean.ts';
import { shareOf } from './times-summary.ts';

export interface Compression {
  seconds: number;
  depthMm: number | undefined;
  /** Whether the chest came fully back; undefined when it was not measured. */
  released: boolean | undefined;
  handCorrect: boolean | undefined;
}

/** A gap of this length or more ends a run and is a pause. Source: PMC7296394, 2020. */
export const RUN_GAP_S = 1;
/** Targets of adult guidance, ends included. Source: AHA BLS table (rate 100 to 120 /min, depth 50 to 60 mm). */
export const RATE_TARGET = [100, 120] as const;
export const DEPTH_TARGET_MM = [50, 60] as const;
/** A pause longer than this is flagged. Source: AHA BLS table. */
export const PAUSE_LIMIT_S = 10;

/** Binary noise of sums and quotients must not push a value over a limit that it equals. */
const NOISE = 1e-9;
export const withinTarget = (value: number, [low, high]: readonly [number, number]): boolean =>
  value >= low - NOISE && value <= high + NOISE;
export const atLeast = (value: number, limit: number): boolean => value >= limit - NOISE;
export const pauseFlagged = (seconds: number): boolean => seconds > PAUSE_LIMIT_S + NOISE;

const shareWhere = (values: readonly (boolean | undefined)[]): Figure<Share> => {
  const known = values.filter((x) => x !== undefined);
  return shareOf(known.filter(Boolean).length, known.length);
};

/** Gaps between compressions, of a run or between runs. */
const gapsOf = (times: readonly number[]): { from: number; seconds: number }[] =>
  times.slice(1).map((t, i) => ({ from: times[i] ?? 0, seconds: t - (times[i] ?? 0) }));
const endsRun = (gap: number): boolean => gap >= RUN_GAP_S - NOISE;

/**
 * Pauses: a gap of one second or more, less one mean interval, for the compression itself takes its time. Before the
 * first compression the whole wait counts. House rule, printed with the figure.
 */
const pausesOf = (times: readonly number[], span: [number, number], interval: number): Pause[] => {
  const [first = span[0], last = span[0]] = [times[0], times.at(-1)];
  const inside = gapsOf(times).filter((g) => endsRun(g.seconds));
  const after = span[1] - last;
  return [
    ...(first - span[0] >= RUN_GAP_S ? [{ from: span[0], seconds: first - span[0] }] : []),
    ...inside.map((g) => ({ from: g.from, seconds: g.seconds - interval })),
    ...(endsRun(after) ? [{ from: last, seconds: after - interval }] : []),
  ];
};

/**
 * Rate, depth, release, hand position, pauses and compression fraction of one trial. The rate is 60 by the mean
 * interval inside runs, a gap of a second or more ending a run; shares count only what was measured.
 */
export const compressionFigures = (
  compressions: readonly Compression[],
  span: Span = {},
): CompressionFigures => {
  const sorted = compressions.toSorted((a, b) => a.seconds - b.seconds);
  const times = sorted.map((c) => c.seconds);
  const from = span.from ?? times[0] ?? 0;
  const to = span.to ?? times.at(-1) ?? from;
  const gaps = gapsOf(times).map((g) => g.seconds);
  const interval = mean(gaps.filter((g) => !endsRun(g)));
  const pauses = pausesOf(times, [from, to], interval ?? 0);
  const depths = sorted.flatMap((c) => c.depthMm ?? []);
  const depth = mean(depths);
  const paused = pauses.reduce((sum, p) => sum + p.seconds, 0);
  const longest = pauses.reduce((most, p) => Math.max(most, p.seconds), 0);
  const none = noFigure('no compression');
  return {
    n: times.length,
    runs: times.length === 0 ? 0 : 1 + gaps.filter(endsRun).length,
    rate:
      interval === undefined ? noFigure('no two compressions in one run') : figure(60 / interval),
    depth: depth === undefined ? noFigure('no depth') : figure(depth),
    depthInTarget: shareOf(
      depths.filter((d) => withinTarget(d, DEPTH_TARGET_MM)).length,
      depths.length,
    ),
    released: shareWhere(sorted.map((c) => c.released)),
    handCorrect: shareWhere(sorted.map((c) => c.handCorrect)),
    pauses,
    longestPause: times.length === 0 ? none : figure(longest),
    fraction: times.length === 0 || to <= from ? none : figure((to - from - paused) / (to - from)),
    span: [from, to],
  };
};
