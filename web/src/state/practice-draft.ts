import type { Protocol, Rating } from '@unhindered/shared-types';
import type { SheetEntry } from './sheet.svelte.ts';

/** A practice while it is on the device: entries by task. */
export type PracticeDraft = Record<string, SheetEntry>;

export const EMPTY: SheetEntry = {
  answer: null,
  easier: false,
  reason: '',
  critical: '',
  note: '',
  at: null,
};

const text = (value: string): string | null => value.normalize('NFC').trim() || null;

/** An entry as a rating; null while it has no answer, or lacks the reason that "does not apply" needs. */
const ratingOf = (entry: SheetEntry, datum: number | null): Rating | null => {
  const { answer } = entry;
  if (answer === null) return null;
  const step = typeof answer === 'number' ? answer : null;
  const reason = step === null ? text(entry.reason) : null;
  if (answer === 'not-applicable' && (reason === null || [...reason].length < 3)) return null;
  return {
    answer: typeof answer === 'number' ? 'step' : answer,
    step,
    easier: step !== null && step === datum && entry.easier,
    reason: answer === 'not-applicable' ? reason : null,
    critical: step === null ? null : text(entry.critical),
    note: text(entry.note),
    at: null,
  };
};

/** What can be handed in, in protocol order. */
export const draftRatings = (
  draft: PracticeDraft,
  protocol: Pick<Protocol, 'sections' | 'scale'>,
): { task: string; rating: Rating }[] =>
  protocol.sections
    .flatMap((s) => s.tasks)
    .flatMap(({ id, critical }) => {
      const rating = ratingOf(draft[id] ?? EMPTY, protocol.scale.datum);
      if (!rating) return [];
      return [{ task: id, rating: critical === null ? { ...rating, critical: null } : rating }];
    });
