import { done, ratingFault, refused } from '@unhindered/shared-types';
import type { Handlers } from './context.ts';

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/**
 * EV-5: a rating that was made before the opening and reaches the server after it is held, shown with its
 * times, and admitted or left out with a reason; it is never lost and never slipped in.
 */
export const lateHandlers: Pick<Handlers, 'offer-late' | 'decide-late' | 'correct-rating'> = {
  'offer-late': (state, { round: number, ratings }, context) => {
    const round = state.rounds.find((r) => r.number === number);
    if (round?.openedAt == null) {
      return refused('round-sealed', 'That round is not open; rate on your sheet.');
    }
    if (!round.sheets.has(context.actor)) {
      return refused('not-in-round', 'You had no sheet in that round.');
    }
    if (!state.seats.get(context.actor)?.declaration) {
      return refused('declare-first', 'Declare your interests first; then you can rate.');
    }
    for (const { task, rating } of ratings) {
      if (!round.tasks.includes(task)) {
        return refused('not-in-round', `"${task}" was not part of that round.`, { task });
      }
      const fault = ratingFault(rating, task, context.protocol);
      if (fault !== undefined) return refused('bad-input', fault, { task });
    }
    const waiting = [...state.late.values()].filter((l) => l.seat === context.actor);
    const fresh = ratings.filter(
      ({ task, rating }) =>
        !same(state.ratings.get(task)?.get(context.actor)?.rating, rating) &&
        !waiting.some((l) => l.task === task && same(l.rating, rating)),
    );
    return done(
      fresh.map(({ task, rating }) => ({
        type: 'late-offered' as const,
        data: {
          late: context.newId('lt'),
          round: number,
          seat: context.actor,
          task,
          rating,
          recorded: state.ratings.get(task)?.get(context.actor)?.rating ?? null,
        },
      })),
    );
  },

  'decide-late': (state, { late, admit, reason }) => {
    const offer = state.late.get(late);
    if (!offer) return refused('unknown-thing', 'There is no such late rating.');
    if (offer.decision) return refused('already-decided', 'This late rating was decided already.');
    if (admit && state.settled.has(offer.task)) {
      return refused('already-settled', 'Reopen the task before you admit a late rating to it.', {
        task: offer.task,
      });
    }
    return done([{ type: 'late-decided', data: { late, admitted: admit, reason } }]);
  },

  'correct-rating': (state, { task, rating, reason }, context) => {
    const old = state.ratings.get(task)?.get(context.actor);
    if (!old) {
      return refused('no-ratings', 'You have no opened rating of this task to correct.', { task });
    }
    if (state.settled.has(task)) {
      return refused('already-settled', 'The task is settled. Ask the moderator to reopen it.', {
        task,
      });
    }
    const fault = ratingFault(rating, task, context.protocol);
    if (fault !== undefined) return refused('bad-input', fault, { task });
    return done([
      {
        type: 'rating-corrected',
        data: {
          round: old.round,
          seat: context.actor,
          task,
          old: old.rating,
          new: rating,
          reason,
        },
      },
    ]);
  },
};
