import type { Span, VentilationFigures } from '@unhindered/shared-types';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { mean } from '../consensus/mean.ts';
import { shareOf } from './times-summary.ts';

export interface Ventilation {
  seconds: number;
  volumeMl: number | undefined;
  /** Whether the breath went in, as the manikin or the recorder says; never guessed from the volume. */
  success: boolean | undefined;
  inspirationS: number | undefined;
}

const meanOf = (values: readonly number[], why: string): Figure => {
  const found = mean(values);
  return found === undefined ? noFigure(why) : figure(found);
};

/** Breaths of one trial; the span must be given for a rate, because breaths come in pairs between compressions. */
export const ventilationFigures = (
  ventilations: readonly Ventilation[],
  span: Span = {},
): VentilationFigures => {
  const { from, to } = span;
  const known = ventilations.filter((v) => v.success !== undefined);
  const first = ventilations
    .filter((v) => v.success === true)
    .reduce((least, v) => Math.min(least, v.seconds), Infinity);
  const timed = from !== undefined && to !== undefined && to > from;
  return {
    n: ventilations.length,
    success: shareOf(known.filter((v) => v.success).length, known.length),
    volume: meanOf(
      ventilations.flatMap((v) => v.volumeMl ?? []),
      'no volume',
    ),
    inspiration: meanOf(
      ventilations.flatMap((v) => v.inspirationS ?? []),
      'no inspiratory time',
    ),
    rate: timed
      ? figure((60 * ventilations.length) / (to - from))
      : noFigure('the start and the end of the trial are not given'),
    firstSuccess:
      from !== undefined && Number.isFinite(first)
        ? figure(first - from)
        : noFigure('no breath is on record as gone in, or the start is not given'),
  };
};
