import { done, refused } from '@unhindered/shared-types';
import type { Handlers } from './context.ts';

/**
 * What may still be said around a record.
 *
 * CR-1: withdrawing and superseding add an event and change nothing of the locked result: nothing is erased.
 * CR-2: only a locked record that stands takes another one's place, it was locked later, and it does so once; so
 * no two records can each claim to follow the other.
 * EN-1: a reviewer states whether they are content with the piece after the opening and before the lock; the last
 * statement of a seat stands, and is part of a figure only where the protocol says so (EN-4).
 */
export const afterLockHandlers: Pick<Handlers, 'withdraw' | 'supersede' | 'endorse'> = {
  withdraw: (_state, { reason }) => done([{ type: 'evaluation-withdrawn', data: { reason } }]),

  supersede: (state, { by, reason }, { successor }) => {
    if (state.supersededBy) {
      return refused('already-decided', 'Another record has taken the place of this one already.');
    }
    if (successor?.evaluation !== by || successor.lockedAt === null) {
      return refused('unknown-thing', 'Choose a locked evaluation of this workspace.', { by });
    }
    if (successor.withdrawn || successor.superseded) {
      return refused('unknown-thing', 'That record does not stand itself. Choose one that does.', {
        by,
      });
    }
    if (by === state.created?.evaluation || successor.lockedAt <= (state.locked?.at ?? '')) {
      return refused('bad-input', 'Only a record that was locked later can take its place.', {
        by,
      });
    }
    return done([{ type: 'evaluation-superseded', data: { by, reason } }]);
  },

  endorse: (_state, { content, reason }, { actor }) =>
    done([{ type: 'endorsement-stated', data: { seat: actor, content, reason } }]),
};
