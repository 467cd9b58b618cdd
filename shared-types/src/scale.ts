import * as v from 'valibot';
import { line, text } from './text.ts';

const point = v.strictObject({
  value: v.pipe(v.number(), v.integer()),
  word: line(1, 40),
  meaning: text(1, 300),
});

/**
 * An anchored integer scale of 2 to 11 points. `better` says which end is good; `datum` is the point
 * that means "as without the equipment"; `easierTick` is the sentence of the tick offered at the datum.
 */
export const scale = v.pipe(
  v.strictObject({
    id: v.pipe(v.string(), v.regex(/^[a-z0-9][a-z0-9-]{0,63}$/u)),
    title: line(1, 80),
    min: v.pipe(v.number(), v.integer(), v.minValue(-100), v.maxValue(100)),
    max: v.pipe(v.number(), v.integer(), v.minValue(-100), v.maxValue(100)),
    better: v.picklist(['lower', 'higher']),
    datum: v.nullable(v.pipe(v.number(), v.integer())),
    points: v.array(point),
    easierTick: v.nullable(line(1, 120)),
  }),
  v.check((s) => s.max - s.min >= 1 && s.max - s.min <= 10, 'A scale has 2 to 11 points.'),
  v.check(
    (s) => s.points.length === s.max - s.min + 1 && s.points.every((p, i) => p.value === s.min + i),
    'Every point from min to max needs its word and sentence, in rising order.',
  ),
  v.check(
    (s) => s.datum === null || (s.datum >= s.min && s.datum <= s.max),
    'The datum must be a point of the scale.',
  ),
);

export type Scale = v.InferOutput<typeof scale>;

/** The end of the scale that means the greatest hindrance. */
export const worstPoint = (s: Pick<Scale, 'min' | 'max' | 'better'>): number =>
  s.better === 'lower' ? s.max : s.min;
