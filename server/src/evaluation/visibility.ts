import type { Protocol, Role } from '@unhindered/shared-types';
import {
  currentRound,
  isCatchingUp,
  ratesBlind,
  sealedTasks,
  type EvaluationState,
} from './state.ts';

export type DocumentMode = 'write' | 'read' | 'none';

/** What a document id stands for in this evaluation; undefined when it is none of its documents. */
export const documentKind = (
  state: EvaluationState,
  document: string,
): { kind: 'board' } | { kind: 'sheet'; round: number; seat: string } | undefined => {
  if (state.created?.board === document) return { kind: 'board' };
  for (const round of state.rounds) {
    for (const [seat, id] of round.sheets) {
      if (id === document) return { kind: 'sheet', round: round.number, seat };
    }
  }
  return undefined;
};

/**
 * SE-1: a sheet is its owner's alone, in every stage: nobody else ever opens it, whatever their role. It is
 * written only while its round is sealed (or its owner is catching up) and after the owner has declared.
 * SE-3: the board is read by every seat and written by those who work on it until the lock.
 * A seat that may not open a document is told the same as for a document that does not exist. Whoever may not see
 * the trials yet (SE-12) may not open the board, which holds them.
 */
export const documentMode = (
  state: EvaluationState,
  document: string,
  seatId: string,
  policy: EvidencePolicy,
): DocumentMode => {
  const seat = state.seats.get(seatId);
  const what = documentKind(state, document);
  if (!seat || seat.revoked || !what) return 'none';
  const over = state.stage === 'locked' || state.stage === 'withdrawn';
  if (what.kind === 'board') {
    const audience = audienceOf(state, seatId);
    if (!audience || !seesEvidence(state, audience, policy)) return 'none';
    if (over) return 'read';
    const works: readonly Role[] = ['moderator', 'reviewer', 'recorder', 'operator'];
    if (ratesBlind(state, seatId)) return 'none';
    return works.includes(seat.role) ? 'write' : 'read';
  }
  if (what.seat !== seatId) return 'none';
  const running = currentRound(state)?.number === what.round;
  const open = running && (state.stage === 'sealed' || isCatchingUp(state, seatId));
  return open && seat.declaration !== null ? 'write' : 'read';
};

/** SE-4: while a round is sealed nobody talks about its tasks on the board; remarks wait in the sheets. */
export const mayTalkAbout = (state: EvaluationState, task: string | null): boolean =>
  task === null || !sealedTasks(state).has(task);

/** Who is looking. Slices are shaped for an audience, never for a person, except for `me`. */
export type Audience = 'moderator' | 'reviewer' | 'catching-up' | 'bench' | 'onlooker' | 'wall';

/** What the protocol says of when the trials are shown. */
export type EvidencePolicy = Pick<Protocol, 'evidenceBeforeRating'>;

export const audienceOf = (state: EvaluationState, seatId: string): Audience | undefined => {
  const seat = state.seats.get(seatId);
  if (!seat || seat.revoked) return undefined;
  if (seat.role === 'moderator') return 'moderator';
  if (seat.role === 'wall') return 'wall';
  if (seat.role === 'reviewer') return ratesBlind(state, seatId) ? 'catching-up' : 'reviewer';
  return seat.role === 'recorder' || seat.role === 'operator' ? 'bench' : 'onlooker';
};

/**
 * SE-12: under a protocol that shows no evidence before the rating, nothing of the trials reaches anybody but those who
 * run and enter them before the first opening, and nobody who rates after an opening before their own sheet is in.
 */
export const seesEvidence = (
  state: EvaluationState,
  audience: Audience,
  { evidenceBeforeRating }: EvidencePolicy,
): boolean => {
  if (evidenceBeforeRating || audience === 'moderator' || audience === 'bench') return true;
  return audience !== 'catching-up' && state.rounds.some((r) => r.openedAt !== null);
};

/** Who hands in a sheet after the opening sees what the trials say, not what was written about them since. */
export const seesTrials = (
  state: EvaluationState,
  audience: Audience,
  policy: EvidencePolicy,
): boolean => audience !== 'catching-up' && seesEvidence(state, audience, policy);

/** SE-5: moderator and wall see who has finished by seat; everybody else only "all in" or "not yet". */
export const seesFinishedBySeat = (audience: Audience): boolean =>
  audience === 'moderator' || audience === 'wall';

/**
 * SE-6: someone who rates after an opening sees nothing of it before a sheet of their own is in the record, also when
 * the next round starts meanwhile.
 */
export const seesRatings = (audience: Audience): boolean => audience !== 'catching-up';
