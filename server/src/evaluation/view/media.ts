import type { MediaSlice } from '@unhindered/shared-types';
import type { EvaluationState } from '../state.ts';
import { seesTrials, type Audience, type EvidencePolicy } from '../visibility.ts';

/** ME-15: photos and clips are evidence: told to whoever may see the trials, and to nobody before. */
export const mediaSlices = (
  state: EvaluationState,
  audience: Audience,
  policy: EvidencePolicy,
): MediaSlice[] => {
  // Who works on what is a hint while a round is sealed.
  const isOpen = state.stage !== 'sealed' && state.rounds.some((r) => r.openedAt !== null);
  const opened = isOpen && audience !== 'catching-up';
  return seesTrials(state, audience, policy)
    ? [...state.media.values()].map((m) => ({
        ...m,
        moments: [...m.moments],
        watchedBy: opened ? [...m.watchedBy] : [],
      }))
    : [];
};
