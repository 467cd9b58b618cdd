import {
  decimal12,
  done,
  protocolTasks,
  refused,
  type EvaluationEvent,
  type Outcome,
} from '@unhindered/shared-types';
import { allStandings, taskStanding } from '../standing.ts';
import { openedTasks, type EvaluationState } from '../state.ts';
import type { DecideContext, Handlers } from './context.ts';

/** IN-3: a moderator with a tie that takes a reviewer out of a task cannot settle or gate that task. */
const barred = (state: EvaluationState, context: DecideContext, task: string): boolean =>
  state.seats.get(context.actor)?.excluded.includes(task) ?? false;

const barredRefusal = (task: string): Outcome<EvaluationEvent[]> =>
  refused(
    'interest-bars',
    'You declared an interest that touches this task. Another moderator without one decides it.',
    { task },
  );

const settledEvent = (
  state: EvaluationState,
  task: string,
  how: 'adopt' | 'decide' | 'leave-open',
  value: string | null,
  reason: string | null,
): EvaluationEvent => ({
  type: 'task-settled',
  data: { task, how, value, old: state.settled.get(task)?.value ?? null, reason },
});

const medianText = (value: number | undefined): string | null =>
  value === undefined ? null : decimal12(value);

export const settleHandlers: Pick<
  Handlers,
  'settle-task' | 'adopt-undisputed' | 'reopen-task' | 'decide-gate'
> = {
  'settle-task': (state, { task, how, value, reason }, context) => {
    if (!openedTasks(state).has(task)) {
      return refused('unknown-task', `"${task}" has not been opened.`, { task });
    }
    if (state.settled.has(task)) {
      return refused('already-settled', 'The task is settled. Reopen it to settle it anew.', {
        task,
      });
    }
    if (barred(state, context, task)) return barredRefusal(task);
    const { median } = taskStanding(state, context.protocol, task);
    if (how !== 'adopt' && reason === null) {
      return refused('reason-required', 'Write the reason; it goes on record.', { task });
    }
    if (how === 'decide') {
      const { min, max } = context.protocol.scale;
      const chosen = value === null ? Number.NaN : Number(value);
      if (!(chosen >= min && chosen <= max)) {
        const range = `${String(min)} to ${String(max)}`;
        return refused('off-scale', `Choose a point or half point from ${range}.`, { task });
      }
      return done([settledEvent(state, task, how, decimal12(chosen), reason)]);
    }
    if (median === undefined) {
      return refused('no-ratings', 'Nobody whose rating counts has put this task on the scale.', {
        task,
      });
    }
    // EV-9: a median that moved since the moderator saw it is looked at again before it is adopted.
    if (value !== null && decimal12(Number(value)) !== decimal12(median)) {
      return refused('median-changed', `The median is ${decimal12(median)} now, not ${value}.`, {
        task,
      });
    }
    return done([settledEvent(state, task, how, medianText(median), reason)]);
  },

  'adopt-undisputed': (state, _command, context) => {
    const events = allStandings(state, context.protocol)
      .filter(
        (t) =>
          t.flags.length === 0 &&
          t.median !== undefined &&
          !state.settled.has(t.task) &&
          !barred(state, context, t.task),
      )
      .map((t) => settledEvent(state, t.task, 'adopt', medianText(t.median), null));
    if (events.length === 0) {
      return refused('nothing-to-decide', 'No undisputed task is left to adopt.');
    }
    return done(events);
  },

  'reopen-task': (state, { task, reason }, context) => {
    const settled = state.settled.get(task);
    if (!settled && !state.gates.has(task)) {
      return refused('not-settled', 'The task is not settled.', { task });
    }
    if (barred(state, context, task)) return barredRefusal(task);
    return done([{ type: 'task-reopened', data: { task, old: settled?.value ?? null, reason } }]);
  },

  'decide-gate': (state, { task, confirm, reason }, context) => {
    const item = protocolTasks(context.protocol).find((t) => t.id === task);
    if (!item) return refused('unknown-task', `The protocol has no task "${task}".`, { task });
    if (item.critical === null) {
      return refused('cannot-gate', 'This task has no critical-failure criterion.', { task });
    }
    const { gateOwed, trials } = taskStanding(state, context.protocol, task);
    if (state.gates.has(task) && !gateOwed) {
      return refused('already-decided', 'Decided already. Reopen the task to decide anew.', {
        task,
      });
    }
    if (barred(state, context, task)) return barredRefusal(task);
    if (!gateOwed) {
      return refused('nothing-to-decide', 'Nobody proposes a critical failure here.', { task });
    }
    // GA-3: whether the trials back it is read from the trials, not from the one who decides.
    const data = { task, confirmed: confirm, backedByTrials: trials === 'met', reason };
    return done([{ type: 'gate-decided', data }]);
  },
};
