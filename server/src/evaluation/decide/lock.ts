import { done, refused } from '@unhindered/shared-types';
import { lockFigures } from '../figures.ts';
import { lockConditions } from '../lock-conditions.ts';
import type { Handlers } from './context.ts';

export const lockHandlers: Pick<Handlers, 'lock'> = {
  lock: (state, { meaning }, context) => {
    const open = lockConditions(state, context.protocol).filter((c) => c.count > 0 && !c.caveat);
    if (open.length > 0) {
      return refused('not-ready-to-lock', 'Something is still open before this can be locked.', {
        conditions: open,
      });
    }
    const result = lockFigures(state, context.protocol);
    return done([
      {
        type: 'evaluation-locked',
        data: { meaning, signedBy: context.actor, software: context.software, result },
      },
    ]);
  },
};
