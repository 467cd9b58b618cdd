import { withinCap } from './within-cap.ts';

/** One trial of one technique: done after so many seconds, or given up (or at its cap) after so many. */
export interface RungTrial {
  operator: string;
  seconds: number;
  done: boolean;
}

/** One technique of a ladder, with its trials. Without a cap, a trial ends when it is given up. */
export interface Rung {
  id: string;
  capSeconds: number | null;
  trials: readonly RungTrial[];
}

/** Durations of the done and of the failed trials of a rung; a trial past the cap failed at the cap. */
export const rungDurations = (rung: Rung): { done: number[]; failed: number[] } => {
  const done: number[] = [];
  const failed: number[] = [];
  for (const { seconds, done: ok } of rung.trials) {
    const cap = rung.capSeconds;
    const inTime = cap === null || withinCap({ value: seconds, censored: false }, cap) === 'done';
    if (ok && inTime) done.push(seconds);
    else failed.push(cap === null ? seconds : Math.min(seconds, cap));
  }
  return { done, failed };
};
