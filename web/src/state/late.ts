import type { EvaluationView, Rating } from '@unhindered/shared-types';
import { ratingOf, type Sheet } from './sheet.svelte.ts';

/** Ratings on this device that the record does not have: made before the opening, arrived after it. */
export const lateRatings = (
  sheet: Sheet,
  view: Partial<EvaluationView>,
  seat: string,
): { task: string; rating: Rating }[] => {
  const round = view.me?.sheets.find((s) => s.round === sheet.round);
  if (!round?.frozen) return [];
  return round.tasks.flatMap((task) => {
    const rating = ratingOf(sheet.entry(task));
    if (!rating) return [];
    const recorded = view.tasks?.[task]?.ratings.find((r) => r.seat === seat);
    // A later round, a correction or an admitted late rating stands above what this sheet says.
    if (recorded && (recorded.late || recorded.corrected)) return [];
    const offered = (view.late ?? []).some((l) => l.seat === seat && l.task === task);
    const same = recorded?.rating.answer === rating.answer && recorded.rating.step === rating.step;
    return same || offered ? [] : [{ task, rating }];
  });
};
