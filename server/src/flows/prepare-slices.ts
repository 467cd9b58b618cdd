import { setImmediate as nextTurn } from 'node:timers/promises';
import { ratingTable } from '../evaluation/figures.ts';
import { openedTasks } from '../evaluation/state.ts';
import { allStandings, taskStanding } from '../evaluation/standing.ts';
import { agreementSlice } from '../evaluation/view/agreement.ts';
import { taskSlice } from '../evaluation/view/task.ts';
import { protocolOf, type App, type LiveEvaluation } from './app.ts';

/** Ratings judged, or written as JSON, between two turns of the event loop: a few milliseconds. */
export const RATINGS_A_TURN = 1_000;

/** Lets other work in after every `RATINGS_A_TURN` ratings; a panel with fewer in all is done in one go. */
export const eachInTurns = async <T>(
  items: readonly T[],
  ratingsOf: (item: T) => number,
  work: (item: T) => void,
): Promise<void> => {
  let since = 0;
  for (const item of items) {
    work(item);
    since += ratingsOf(item);
    if (since < RATINGS_A_TURN) continue;
    since = 0;
    await nextTurn();
  }
};

/**
 * Judges every opened task of a large panel a few at a time, so that the slices that come after find all figures
 * ready (evaluation/remembered.ts) and nobody on another panel waits. What changes meanwhile is judged then.
 */
export const prepareSlices = async (app: App, live: LiveEvaluation): Promise<void> => {
  const { state } = live;
  const { protocol } = protocolOf(app, state);
  const count = (task: string): number => state.ratings.get(task)?.size ?? 0;
  const tasks = [...openedTasks(state)];
  if (tasks.reduce((sum, task) => sum + count(task), 0) < RATINGS_A_TURN) return;
  await eachInTurns(tasks, count, (task) => {
    taskSlice(state, protocol, taskStanding(state, protocol, task));
  });
  const standings = allStandings(state, protocol);
  await nextTurn();
  ratingTable(state, protocol, standings, false);
  await nextTurn();
  agreementSlice(state, protocol, standings);
  await nextTurn();
};
