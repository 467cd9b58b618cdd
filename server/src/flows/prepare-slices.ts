import { setImmediate as nextTurn } from 'node:timers/promises';
import { lockFigures } from '../evaluation/figures.ts';
import { ratingRow, ratingTable } from '../evaluation/rating-table.ts';
import { openedTasks } from '../evaluation/state.ts';
import { allStandings, taskStanding } from '../evaluation/standing.ts';
import { agreementSlice } from '../evaluation/view/agreement.ts';
import { taskSlice } from '../evaluation/view/task.ts';
import { protocolOf, type App, type LiveEvaluation } from './app.ts';
import { eachInTurns, RATINGS_A_TURN } from './in-turns.ts';

type Prepared = Pick<App, 'protocols' | 'tables'>;

/** Judges every opened task of a large panel; false for a small one, which is judged where it is needed. */
const prepareTable = async (
  app: Prepared,
  { state }: LiveEvaluation,
  withInterests: boolean,
): Promise<boolean> => {
  const { protocol } = protocolOf(app, state);
  const count = (task: string): number => state.ratings.get(task)?.size ?? 0;
  const tasks = [...openedTasks(state)];
  if (tasks.reduce((sum, task) => sum + count(task), 0) < RATINGS_A_TURN) return false;
  const judge = (task: string): void => {
    const standing = taskStanding(state, protocol, task);
    taskSlice(state, protocol, standing);
    ratingRow(state, standing, withInterests);
  };
  await eachInTurns(tasks, count, judge, { keeps: true });
  const standings = allStandings(state, protocol);
  await nextTurn();
  const table = ratingTable(state, protocol, standings, withInterests);
  await nextTurn();
  await app.tables.prepare(table, protocol);
  return true;
};

/**
 * Judges every opened task of a large panel a few at a time, so that the slices that come after find all figures
 * ready (evaluation/remembered.ts) and nobody on another panel waits. What changes meanwhile is judged then.
 */
export const prepareSlices = async (app: Prepared, live: LiveEvaluation): Promise<void> => {
  const { state } = live;
  if (!(await prepareTable(app, live, false))) return;
  const { protocol } = protocolOf(app, state);
  agreementSlice(state, protocol, allStandings(state, protocol));
  await nextTurn();
};

/** The same for the lock, whose figures stand with and without declared interests, and for all that it publishes. */
export const prepareLock = async (app: Prepared, live: LiveEvaluation): Promise<void> => {
  const { state } = live;
  if (!(await prepareTable(app, live, false))) return;
  await prepareTable(app, live, true);
  await nextTurn();
  lockFigures(state, protocolOf(app, state).protocol);
  await nextTurn();
};
