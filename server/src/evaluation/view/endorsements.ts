import type { EndorsementSlice } from '@unhindered/shared-types';
import type { EvaluationState } from '../state.ts';

/** EN-2: before the lock nobody is told who is content and who is not, so that nobody follows another. */
export const endorsementSlice = (state: EvaluationState): EndorsementSlice => ({
  stated: state.endorsements.size,
  list: state.locked
    ? [...state.endorsements].map(([seat, statement]) => ({
        seat,
        ...statement,
        tied: (state.seats.get(seat)?.excluded.length ?? 0) > 0,
      }))
    : null,
});
