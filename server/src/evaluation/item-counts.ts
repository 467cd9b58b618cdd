import { protocolTasks, type Protocol } from '@unhindered/shared-types';
import { pairAgreement } from '../consensus/pair-agreement.ts';
import { adMedian } from '../consensus/spread.ts';
import { allStandings } from './standing.ts';
import type { EvaluationState } from './state.ts';

/** How one task went in one evaluation: counts alone, and of nobody. */
export interface ItemCounts {
  task: string;
  /** Counted ratings on each point of the scale, from its lowest. */
  points: number[];
  /** Counted answers off the scale. */
  notApplicable: number;
  notObserved: number;
  abstained: number;
  /** Average deviation from the median; null below two ratings. */
  deviation: number | null;
  /** Pairs of ratings, and those within one step. */
  pairs: number;
  near: number;
  diverged: boolean;
}

/** The counts of every opened task, in protocol order. */
export const itemCounts = (state: EvaluationState, protocol: Protocol): ItemCounts[] => {
  const { min, max } = protocol.scale;
  const standings = new Map(allStandings(state, protocol).map((s) => [s.task, s]));
  return protocolTasks(protocol).flatMap(({ id }) => {
    const standing = standings.get(id);
    if (!standing) return [];
    const { values, ratings, flags } = standing;
    const of = (answer: string): number =>
      ratings.filter((r) => r.counted && r.rating.answer === answer).length;
    const agreed = pairAgreement([values], 1);
    const pairs = agreed.ok ? agreed.value.pairs : 0;
    return [
      {
        task: id,
        points: Array.from(
          { length: max - min + 1 },
          (_, i) => values.filter((v) => v === min + i).length,
        ),
        notApplicable: of('not-applicable'),
        notObserved: of('not-observed'),
        abstained: of('abstained'),
        deviation: values.length < 2 ? null : (adMedian(values) ?? null),
        pairs,
        near: agreed.ok ? Math.round(agreed.value.pooled * pairs) : 0,
        diverged: flags.length > 0,
      },
    ];
  });
};
