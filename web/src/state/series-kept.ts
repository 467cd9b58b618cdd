import type { SeriesDraft } from './series-draft.ts';

const keyOf = (evaluation: string): string => `series:${evaluation}`;

/** SR-7: the columns chosen last on this device, for the next file and after a reload; undefined when there are none. */
export const readSeriesDraft = (
  evaluation: string,
  store: Storage = localStorage,
): SeriesDraft | undefined => {
  try {
    const kept = JSON.parse(store.getItem(keyOf(evaluation)) ?? 'null') as SeriesDraft | null;
    const whole = kept !== null && Array.isArray(kept.head.columns) && 'axes' in kept;
    return whole ? kept : undefined;
  } catch {
    return undefined;
  }
};

export const keepSeriesDraft = (
  evaluation: string,
  draft: SeriesDraft,
  store: Storage = localStorage,
): void => store.setItem(keyOf(evaluation), JSON.stringify(draft));
