import type { MeSlice } from '@unhindered/shared-types';
import { currentRound, isCatchingUp, type EvaluationState } from '../state.ts';
import { documentMode, type EvidencePolicy } from '../visibility.ts';
import type { People } from './seats.ts';

/** What only this seat sees: its own sheets, and the board's id. */
export const meSlice = (
  state: EvaluationState,
  seatId: string,
  people: People,
  policy: EvidencePolicy,
): MeSlice | undefined => {
  const seat = state.seats.get(seatId);
  if (!seat || seat.revoked) return undefined;
  const board = state.created?.board ?? '';
  return {
    seat: seatId,
    role: seat.role,
    letter: seat.letter,
    name: people.name(seatId),
    declared: seat.declaration !== null,
    excluded: [...seat.excluded],
    // A board that may not be opened yet is not named: the screen then has none.
    board: documentMode(state, board, seatId, policy) === 'none' ? '' : board,
    sheets: state.rounds.flatMap((r) => {
      const document = r.sheets.get(seatId);
      if (document === undefined) return [];
      const frozen =
        documentMode(state, document, seatId, policy) !== 'write' && seat.declaration !== null;
      return [{ round: r.number, document, tasks: [...r.tasks], frozen }];
    }),
    finished: currentRound(state)?.finished.has(seatId) ?? false,
    catchingUp: isCatchingUp(state, seatId),
    endorsement: state.endorsements.get(seatId) ?? null,
    observed: currentRound(state)?.observed.get(seatId) ?? null,
    watched: [...state.media.values()]
      .filter((m) => m.watchedBy.includes(seatId))
      .map((m) => m.media),
    digests: state.rounds.flatMap((r) => {
      const digest = r.recorded.get(seatId);
      return digest === undefined || state.paper ? [] : [{ round: r.number, digest }];
    }),
  };
};
