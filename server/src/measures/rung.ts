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

/** What may happen on a rung: done after so many seconds, or failed after so many. */
export interface RungOutcome {
  seconds: number;
  done: boolean;
}

/** A trial past its cap failed at the cap; done at the cap, to the tenth, is done. */
const outcomeOf = ({ seconds, done }: RungTrial, cap: number | null): RungOutcome => {
  if (cap === null) return { seconds, done };
  if (done && withinCap({ value: seconds, censored: false }, cap) === 'done') {
    return { seconds, done };
  }
  return { seconds: Math.min(seconds, cap), done: false };
};

/** The different outcomes of a rung's trials, and which of them each trial had. */
export interface RungOutcomes {
  outcomes: RungOutcome[];
  ofTrial: number[];
}

/** Equal outcomes are one: most failures run to the same cap. */
export const rungOutcomes = (rung: Rung): RungOutcomes => {
  const outcomes: RungOutcome[] = [];
  const places = new Map<string, number>();
  const ofTrial = rung.trials.map((trial) => {
    const outcome = outcomeOf(trial, rung.capSeconds);
    const key = `${String(outcome.done)} ${String(outcome.seconds)}`;
    const place = places.get(key) ?? outcomes.push(outcome) - 1;
    places.set(key, place);
    return place;
  });
  return { outcomes, ofTrial };
};

/** Durations of the done and of the failed trials of a rung. */
export const rungDurations = (rung: Rung): { done: number[]; failed: number[] } => {
  const all = rung.trials.map((trial) => outcomeOf(trial, rung.capSeconds));
  const seconds = (done: boolean): number[] =>
    all.filter((o) => o.done === done).map((o) => o.seconds);
  return { done: seconds(true), failed: seconds(false) };
};
