import { done, protocolTasks, refused } from '@unhindered/shared-types';
import type { Handlers } from './context.ts';

export const safetyHandlers: Pick<Handlers, 'decide-model-trials' | 'note-incident'> = {
  'decide-model-trials': (state, { model, count, reason }) => {
    if (!state.safety.models.get(model)?.withdrawn) {
      return refused('nothing-to-decide', `${model} has not left: their trials count.`);
    }
    return done([{ type: 'model-trials-decided', data: { model, count, reason } }]);
  },

  /** SD-8: a note is added and never changed; who wrote it and when stand in the event. */
  'note-incident': (state, { note }, context) => {
    const { task, trial } = note;
    if (task !== null && !protocolTasks(context.protocol).some((t) => t.id === task)) {
      return refused('unknown-task', `The protocol has no task "${task}".`, { task });
    }
    if (trial !== null && !state.trials.has(trial)) {
      return refused('unknown-thing', 'That trial is not on record (yet). Name its task instead.');
    }
    const data = { incident: context.newId('ic'), seat: context.actor, note };
    return done([{ type: 'incident-noted', data }]);
  },
};
