import type { BreathMark, HeadMotion, Pause } from '@unhindered/shared-types';
import { durationText } from '../format/duration.ts';
import { rounded } from '../format/number.ts';
import type { SplitMark } from '../state/series-splits.ts';
import { words } from '../words/series.ts';
import type { SeriesMark } from './series-plot.ts';

const say = words.seriesPlot;
/** Marks of one sort on a plot; more would hide the curve. */
const MOST = 6;

/** The first or worst few, in order of time, and how many are left out. */
const few = (all: readonly SeriesMark[]): SeriesMark[] =>
  all.slice(0, MOST).toSorted((a, b) => a.from - b.from);

export interface Marked {
  marks: SeriesMark[];
  /** Not marked, for want of room. */
  more: number;
}

/** What is marked on the angle from the start pose: where it was largest, the pair furthest apart, the longest gaps. */
export const angleMarks = (motion: HeadMotion): Marked => {
  const { helical, excursion } = motion;
  const gaps = motion.gaps
    .toSorted((a, b) => b.missing - a.missing)
    .map(({ from, to, missing }) => ({ from, to, label: say.gap(missing) }));
  const events: SeriesMark[] = [
    ...(helical.ok ? [{ from: helical.value.seconds, label: say.largest }] : []),
    ...(excursion.ok
      ? [
          { from: excursion.value.seconds[0], label: say.pairFrom },
          { from: excursion.value.seconds[1], label: say.pairTo },
        ]
      : []),
  ];
  return {
    marks: [...events, ...few(gaps)].toSorted((a, b) => a.from - b.from),
    more: Math.max(0, gaps.length - MOST),
  };
};

/** What is marked on the depths: the longest pauses, and the first breaths. */
export const depthMarks = (pauses: readonly Pause[], breaths: readonly BreathMark[]): Marked => {
  const long = pauses
    .toSorted((a, b) => b.seconds - a.seconds)
    .map(({ from, seconds }) => ({
      from,
      to: from + seconds,
      label: say.pause(rounded(seconds, 1)),
    }));
  const blown = breaths.map(({ seconds, success }) => ({
    from: seconds,
    label: say.breath[success === undefined ? 'unknown' : success ? 'in' : 'out'],
  }));
  return {
    marks: [...few(long), ...few(blown)].toSorted((a, b) => a.from - b.from),
    more: Math.max(0, long.length - MOST) + Math.max(0, blown.length - MOST),
  };
};

/** What a stopwatch took, with the time since the mark before. */
export const stopwatchMark = ({ what, label, seconds, since }: SplitMark): SeriesMark => ({
  from: seconds,
  label: words.seriesSplits.mark[what](label, since === null ? '' : durationText(since)),
  taken: true,
});
