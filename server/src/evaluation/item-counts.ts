import { protocolTasks, type ItemCounts, type Protocol } from '@unhindered/shared-types';
import { pairAgreement } from '../consensus/pair-agreement.ts';
import { adMedian } from '../consensus/spread.ts';
import { allStandings } from './standing.ts';
import type { EvaluationState } from './state.ts';

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
