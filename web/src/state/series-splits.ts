import { isStanding, type TrialEntry } from '@unhindered/shared-types';
import type { StopwatchMark } from './stopwatch-mark.ts';
import type { TrialRow } from './trial-rows.ts';

/** One mark of a stopwatch in the time of a file. */
export interface SplitMark {
  what: StopwatchMark;
  /** As it was written; '' where the stopwatch had none. */
  label: string;
  /** Second of the file. */
  seconds: number;
  /** Seconds since the mark before; null at the start. */
  since: number | null;
}

/** Trials whose stopwatch can be shown on a file: they stand, and a time was taken. The newest first. */
export const timedTrials = (rows: readonly TrialRow[]): TrialRow[] =>
  rows.filter((row) => isStanding(row) && row.entry.seconds !== null).toReversed();

/** The second of the file at which the stopwatch was started, as it is typed; undefined when it cannot be read. */
export const goSecond = (typed: string): number | undefined =>
  /^\s*-?\d{1,6}(?:[.,]\d{1,3})?\s*$/u.test(typed) ? Number(typed.replace(',', '.')) : undefined;

/** Start, splits and end of a trial, moved to the second `go` of a file. */
export const splitMarks = (
  { splits, seconds, done }: Pick<TrialEntry, 'splits' | 'seconds' | 'done'>,
  go: number,
): SplitMark[] => {
  const end = seconds === null ? [] : [{ what: endOf(done), label: '', seconds: Number(seconds) }];
  const marks = [
    { what: 'go' as const, label: '', seconds: 0 },
    ...splits.map((s) => ({ what: 'split' as const, label: s.label, seconds: Number(s.seconds) })),
    ...end,
  ];
  return marks.map((mark, i) => ({
    ...mark,
    seconds: go + mark.seconds,
    since: i === 0 ? null : mark.seconds - (marks[i - 1]?.seconds ?? 0),
  }));
};

const endOf = (done: boolean): StopwatchMark => (done ? 'done' : 'not-done');

/** Marks that lie within a file, and how many do not. */
export const withinFile = (
  marks: readonly SplitMark[],
  { from, to }: { from: number; to: number },
): { inside: SplitMark[]; outside: number } => {
  const inside = marks.filter((m) => m.seconds >= from && m.seconds <= to);
  return { inside, outside: marks.length - inside.length };
};
