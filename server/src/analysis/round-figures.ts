import { ratingFlags } from '../consensus/divergence.ts';
import type { DivergenceConstants } from '../consensus/divergence-rule.ts';
import { pooledShift, stoppingAdvice, taskStability } from '../consensus/round-stability.ts';
import type { RoundFigures } from './analysis.ts';
import { noted, orWhy } from './noted.ts';
import type { RatingSource } from './rating-source.ts';

/** Rounds after which a panel settles rather than rates again. */
const ROUND_LIMIT = 2;

/** How the ratings moved from each round to the next, and whether another round could help. */
export const roundFigures = (
  { table, rounds }: RatingSource,
  rule: DivergenceConstants,
): RoundFigures[] =>
  rounds.slice(1).flatMap((after, i) => {
    const before = rounds[i];
    if (!before) return [];
    const moved = table.tasks.map((_, t) =>
      taskStability(before.cells[t] ?? [], after.cells[t] ?? []),
    );
    const flagged = table.tasks.flatMap((_, t) => {
      const steps = (after.cells[t] ?? []).flatMap((value, j) =>
        value === undefined ? [] : [{ reviewer: table.reviewers[j] ?? '', value }],
      );
      const flags = ratingFlags({ steps, notApplicable: [], critical: [] }, rule);
      return flags.length > 0 ? [moved[t]] : [];
    });
    const shift = pooledShift(before.cells, after.cells);
    return [
      {
        from: before.round,
        to: after.round,
        advice: stoppingAdvice(flagged, after.round, ROUND_LIMIT),
        tasks: table.tasks.flatMap((task, t) => {
          const s = moved[t];
          if (!s) return [];
          return [
            {
              task,
              n: s.n,
              share_changed: s.shareChanged,
              median_change: s.medianChange,
              histogram_change: s.histogramChange,
            },
          ];
        }),
        ...noted({ signed_rank_p: orWhy(shift?.p, 'nobody rated in both rounds') }),
      },
    ];
  });
