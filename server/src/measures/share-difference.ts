import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { newcombe } from '../consensus/proportion-interval.ts';

export interface ShareDifference {
  difference: number;
  limits: [number, number];
  note: string | undefined;
}

const PAIRED =
  'The same operators stand in both shares; the limits take them as independent, and are only a guide.';

/** Share done with the equipment minus share done without, Newcombe's limits; paired trials get a note. */
export const shareDifference = (
  equipment: { successes: number; trials: number },
  reference: { successes: number; trials: number },
  sameOperators: boolean,
): Figure<ShareDifference> => {
  const found = newcombe(equipment, reference);
  if (!found) return noFigure('no data in one of the conditions');
  return figure({ ...found, note: sameOperators ? PAIRED : undefined });
};
