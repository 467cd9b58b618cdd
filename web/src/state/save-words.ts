import { clock } from '../format/time.ts';
import type { LinkStatus } from '../sync/document-link.ts';
import { words } from '../words/trials.ts';

/** Where the own trials are, in words; `own` counts them. */
export const saveWords = (status: LinkStatus | null, own: number): string => {
  if (own === 0) return words.save.nothing;
  if (status?.state === 'refused') return words.save.refused;
  if (!status || status.state === 'offline') return words.save.kept;
  if (status.state === 'saved' && status.savedAt !== null) {
    return words.save.saved(clock(status.savedAt));
  }
  return words.save.saving;
};
