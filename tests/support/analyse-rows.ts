import { analyse } from '../../server/src/analysis/analyse.ts';
import type { Analysis } from '../../server/src/analysis/analysis.ts';
import { ratingSource } from '../../server/src/analysis/rating-source.ts';
import { readRatingList } from '../../server/src/analysis/read-rating-list.ts';
import { seededChance } from '../../server/src/analysis/seeded-chance.ts';
import type { RatingScale } from '../../server/src/consensus/table.ts';

const SEED = 7;

/** A table of ratings as the lines of a list; null is an absent cell. */
export const listOf = (
  tasks: readonly string[],
  reviewers: readonly string[],
  ratings: readonly (readonly (number | null)[])[],
): string =>
  [
    'task,reviewer,rating',
    ...tasks.flatMap((t, i) =>
      reviewers.map((r, j) => `${t},${r},${String(ratings[i]?.[j] ?? 'NA')}`),
    ),
  ].join('\n');

/** The analysis of a list; throws with the faults when there are any. */
export const analyseList = (text: string, scale: RatingScale): Analysis => {
  const list = readRatingList(text, scale);
  if (!list.ok) throw new Error(JSON.stringify(list.faults));
  return analyse(ratingSource(list.ratings, scale), seededChance(SEED));
};
