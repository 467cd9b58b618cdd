import { done, protocolTasks, refused, type EvaluationEvent } from '@unhindered/shared-types';
import { fitStanding } from '../fit.ts';
import { activeSeats, currentRound, isCatchingUp, type EvaluationState } from '../state.ts';
import type { DecideContext, Handlers, OpenedSheet } from './context.ts';

const startEvent = (
  state: EvaluationState,
  context: DecideContext,
  tasks: readonly string[],
  reason: string | null,
): EvaluationEvent => ({
  type: 'round-started',
  data: {
    round: state.rounds.length + 1,
    tasks: [...tasks],
    reason,
    sheets: activeSeats(state, 'reviewer').map(({ seat }) => ({
      seat,
      document: context.newId('dc'),
    })),
  },
});

const recordEvent = (round: number, sheet: OpenedSheet): EvaluationEvent => ({
  type: 'sheet-recorded',
  data: { round, ...sheet },
});

/** Seats whose sheet of the running round misses something: an answer, or the word "finished". */
const incomplete = (state: EvaluationState, sheets: readonly OpenedSheet[]) => {
  const round = currentRound(state);
  if (!round) return [];
  return [...round.sheets.keys()].flatMap((seat) => {
    if (state.seats.get(seat)?.revoked !== false) return [];
    const rated = sheets.find((s) => s.seat === seat)?.ratings.length ?? 0;
    const unrated = round.tasks.length - rated;
    const finished = round.finished.has(seat);
    return unrated > 0 || !finished ? [{ seat, unrated, finished }] : [];
  });
};

/** FI-4: the first round opens with a passed fit check, or with a moderator's written reason to go without. */
export const fitFault = (
  state: EvaluationState,
  round: number,
): ReturnType<typeof refused> | undefined => {
  const standing = fitStanding(state);
  if (round > 1 || (standing !== 'missing' && standing !== 'failed')) return undefined;
  const what = standing === 'failed' ? 'The last fit check failed' : 'There is no fit check yet';
  return refused(
    'fit-check-missing',
    `${what}. Record one that passes, or override with a reason.`,
    {
      standing,
    },
  );
};

export const roundHandlers: Pick<
  Handlers,
  'start-round' | 'call-round' | 'finish-sheet' | 'resume-sheet' | 'open-round' | 'present-task'
> = {
  'start-round': (state, _command, context) => {
    if (activeSeats(state, 'reviewer').length === 0) {
      return refused('nobody-seated', 'No reviewer has taken a seat yet. Invite one first.');
    }
    const tasks = protocolTasks(context.protocol).map((t) => t.id);
    return done([startEvent(state, context, tasks, null)]);
  },

  'call-round': (state, { tasks, reason }, context) => {
    // PA-1: sealed sheets never stand beside ratings from paper.
    if (state.paper) {
      return refused(
        'already-started',
        'These ratings came from paper: no sealed round can stand beside them. Make another evaluation.',
      );
    }
    const limit = context.protocol.rounds.limit;
    if (state.rounds.length >= limit) {
      return refused('round-limit', `The protocol allows ${String(limit)} rounds.`, { limit });
    }
    const known = protocolTasks(context.protocol).map((t) => t.id);
    const stranger = tasks.find((t) => !known.includes(t));
    if (stranger !== undefined) {
      return refused('unknown-task', `The protocol has no task "${stranger}".`, { task: stranger });
    }
    const settled = tasks.find((t) => state.settled.has(t));
    if (settled !== undefined) {
      return refused('already-settled', 'Reopen a settled task before it is rated again.', {
        task: settled,
      });
    }
    if (activeSeats(state, 'reviewer').length === 0) {
      return refused('nobody-seated', 'No reviewer is seated any more.');
    }
    return done([
      startEvent(
        state,
        context,
        known.filter((t) => tasks.includes(t)),
        reason,
      ),
    ]);
  },

  'finish-sheet': (state, _command, context) => {
    const round = currentRound(state);
    if (!round?.sheets.has(context.actor)) {
      return refused('not-in-round', 'You have no sheet in this round.');
    }
    if (!state.seats.get(context.actor)?.declaration) {
      return refused('declare-first', 'Declare your interests first; then you can rate.');
    }
    const finished: EvaluationEvent = {
      type: 'sheet-finished',
      data: { round: round.number, seat: context.actor },
    };
    if (state.stage === 'sealed') return done(round.finished.has(context.actor) ? [] : [finished]);
    const own = context.sheets.find((s) => s.seat === context.actor);
    if (!isCatchingUp(state, context.actor) || !own) {
      return refused('round-opened', 'The round is open; your sheet is in the record.');
    }
    return done([finished, recordEvent(round.number, own)]);
  },

  'resume-sheet': (state, _command, context) => {
    const round = currentRound(state);
    if (!round?.sheets.has(context.actor)) {
      return refused('not-in-round', 'You have no sheet in this round.');
    }
    if (!round.finished.has(context.actor)) return done([]);
    return done([{ type: 'sheet-resumed', data: { round: round.number, seat: context.actor } }]);
  },

  /** SE-2: ratings enter the log here, all sheets in one commit with the opening. */
  'open-round': (state, { withMissing }, context) => {
    const round = currentRound(state);
    if (!round) return refused('not-started', 'The first round has not been started yet.');
    const unfit = fitFault(state, round.number);
    if (unfit) return unfit;
    const sheets = context.sheets.filter(
      ({ seat }) => round.sheets.has(seat) && state.seats.get(seat)?.revoked === false,
    );
    if (sheets.every((s) => s.ratings.length === 0)) {
      return refused('no-ratings', 'Nobody has rated anything yet.');
    }
    const missing = incomplete(state, sheets);
    if (missing.length > 0 && !withMissing) {
      const letters = missing.map((m) => state.seats.get(m.seat)?.letter ?? '?');
      return refused(
        'ratings-missing',
        `Not finished: ${letters.join(', ')}. Press again to open.`,
        {
          seats: missing.map((m) => m.seat),
        },
      );
    }
    return done([
      ...sheets.map((s) => recordEvent(round.number, s)),
      {
        type: 'round-opened',
        data: {
          round: round.number,
          missing: missing.map(({ seat, unrated }) => ({ seat, unrated })),
        },
      },
    ]);
  },

  'present-task': (state, { task }, context) => {
    if (task !== null && !protocolTasks(context.protocol).some((t) => t.id === task)) {
      return refused('unknown-task', `The protocol has no task "${task}".`, { task });
    }
    return done(state.present === task ? [] : [{ type: 'task-presented', data: { task } }]);
  },
};
