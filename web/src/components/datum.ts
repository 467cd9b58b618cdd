import type { EvaluationView, Rating, Scale, SeatSlice, TaskSlice } from '@unhindered/shared-types';
import { listed } from '../format/locale.ts';
import { stepsText } from '../format/number.ts';
import { words } from '../words/sheet.ts';

/** One seat's letter on the datum line. */
export interface Mark {
  letter: string;
  step: number;
  counted: boolean;
  own: boolean;
}

export interface StripModel {
  marks: Mark[];
  median: number | null;
  low: number | null;
  high: number | null;
  settled: number | null;
}

type Seats = readonly SeatSlice[];

export const letterOf = (seats: Seats, seat: string): string =>
  seats.find((s) => s.seat === seat)?.letter ?? '?';

/** "reviewer A", or "reviewers A, B and C". */
export const seatNames = (seats: Seats, ids: readonly string[]): string => {
  const names = ids.map((id) => words.reviewerName(letterOf(seats, id)));
  return listed(names);
};

const value = (shown: TaskSlice['median']): number | null =>
  'value' in shown ? shown.value : null;

/** What the strip of a task draws. */
export const stripModel = (slice: TaskSlice, seats: Seats, me: string | null): StripModel => ({
  marks: slice.ratings.flatMap((r) =>
    r.rating.step === null
      ? []
      : [
          {
            letter: letterOf(seats, r.seat),
            step: r.rating.step,
            counted: r.counted,
            own: r.seat === me,
          },
        ],
  ),
  median: value(slice.median),
  low: value(slice.min),
  high: value(slice.max),
  settled: slice.settled?.value ?? null,
});

/** What a plot needs to know of a scale. */
export interface PlotScale {
  min: number;
  datum: number | null;
  points: readonly { value: number }[];
}

/** Distance of a point from the datum, in steps. */
export const distanceOf = (scale: PlotScale, step: number): number =>
  Math.abs(step - (scale.datum ?? scale.min));

/** One rating in words: step and word, or why there is no step. */
export const ratingWords = (rating: Rating | null, scale: Scale): string => {
  if (!rating) return '–';
  if (rating.step === null) {
    const kind = words.shown.answers[rating.answer];
    return rating.reason === null ? kind : `${kind}: ${rating.reason}`;
  }
  const point = scale.points.find((p) => p.value === rating.step);
  const easier = rating.easier ? `, ${words.shown.easier}` : '';
  return `${String(rating.step)} ${point?.word ?? ''}${easier}`;
};

/** The flags of a task, one plain sentence each. */
export const flagSentences = (slice: TaskSlice, seats: Seats): string[] =>
  slice.flags.map((f) => {
    const size = stepsText(f.size);
    if (f.kind === 'lone-voice' && slice.n === 2) return words.shown.twoOnly(size);
    // Half the panel or more cannot each be alone.
    const camps = f.apart.length === 0 || 2 * f.apart.length >= slice.n;
    if (f.kind === 'lone-voice' && camps) return words.shown.camps(size);
    const sentence = words.shown.flags[f.kind](seatNames(seats, f.apart), size);
    return sentence.charAt(0).toUpperCase() + sentence.slice(1);
  });

/** How a task was settled, in words. */
export const settledWords = (slice: TaskSlice): string => {
  const { settled } = slice;
  if (!settled) return '';
  const text =
    settled.value === null ? words.shown.none : words.shown.steps(stepsText(settled.value));
  return words.shown.settled[settled.how](text);
};

export const seatsOf = (view: Partial<EvaluationView>): Seats => view.seats ?? [];
