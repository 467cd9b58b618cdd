import type { SeatSlice } from '@unhindered/shared-types';
import { currentRound, type EvaluationState } from '../state.ts';
import { seesFinishedBySeat, type Audience } from '../visibility.ts';

/** What stands outside the log: names by seat, and who is connected. */
export interface People {
  name: (seat: string) => string;
  online: (seat: string) => boolean;
}

/** Reviewers whose word "finished" the running round waits for. */
const awaited = (state: EvaluationState): string[] =>
  [...(currentRound(state)?.sheets.keys() ?? [])].filter(
    (seat) => state.seats.get(seat)?.revoked === false,
  );

export const allFinished = (state: EvaluationState): boolean => {
  const round = currentRound(state);
  const seats = awaited(state);
  return round !== undefined && seats.length > 0 && seats.every((s) => round.finished.has(s));
};

export const seatSlices = (
  state: EvaluationState,
  audience: Audience,
  people: People,
): SeatSlice[] => {
  const opened = state.rounds.some((r) => r.openedAt !== null) && audience !== 'catching-up';
  const showTies = opened || audience === 'moderator';
  const round = currentRound(state);
  return [...state.seats.values()]
    .filter((s) => !s.revoked || state.rounds.some((r) => r.recorded.has(s.seat)))
    .map((s) => ({
      seat: s.seat,
      role: s.role,
      letter: s.letter,
      name: people.name(s.seat),
      online: people.online(s.seat),
      finished:
        s.role === 'reviewer' && seesFinishedBySeat(audience)
          ? (round?.finished.has(s.seat) ?? false)
          : null,
      observed: opened
        ? state.rounds
            .filter((r) => r.openedAt !== null)
            .flatMap((r) => {
              const how = r.observed.get(s.seat);
              return how === undefined ? [] : [{ round: r.number, how }];
            })
        : [],
      declared: s.declaration !== null,
      declaration: showTies ? s.declaration : null,
      excluded: showTies ? [...s.excluded] : [],
    }));
};
