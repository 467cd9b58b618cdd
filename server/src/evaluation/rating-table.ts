import type { Protocol } from '@unhindered/shared-types';
import type { RatingTable } from '../consensus/table.ts';
import { remembered } from './remembered.ts';
import type { TaskStanding } from './standing.ts';
import type { EvaluationState } from './state.ts';

type Row = readonly (number | undefined)[];

const rowsOfCounted = remembered<TaskStanding, Row>();
const rowsOfAll = remembered<TaskStanding, Row>();

/** One task's ratings, a cell for each seat of the evaluation; without those that an interest takes out, or with. */
export const ratingRow = (
  { seats }: EvaluationState,
  standing: TaskStanding,
  withInterests: boolean,
): Row => {
  const memory = withInterests ? rowsOfAll : rowsOfCounted;
  return memory(standing, [seats], () => {
    const steps = new Map<string, number>();
    for (const { seat, rating, counted } of standing.ratings) {
      if (rating.step !== null && (withInterests || counted)) steps.set(seat, rating.step);
    }
    return [...seats.keys()].map((seat) => steps.get(seat));
  });
};

const rememberedLeftOut = remembered<readonly TaskStanding[], boolean>();

/** Whether a declared interest takes any rating out. */
const leavesOut = (standings: readonly TaskStanding[]): boolean =>
  rememberedLeftOut(standings, [], () => standings.some((t) => t.ratings.some((r) => !r.counted)));

const tablesOfCounted = remembered<readonly TaskStanding[], RatingTable>();
const tablesOfAll = remembered<readonly TaskStanding[], RatingTable>();

/** Ratings as a table: reviewers with at least one rating in it, by letter; tasks in protocol order. */
export const ratingTable = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[],
  withInterests: boolean,
): RatingTable => {
  // Where every rating counts, both tables are one.
  const all = withInterests && leavesOut(standings);
  const parts = [state.seats, protocol];
  const memory = all ? tablesOfAll : tablesOfCounted;
  return memory(standings, parts, () => tableOf(state, protocol, standings, all));
};

const tableOf = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[],
  withInterests: boolean,
): RatingTable => {
  const rows = standings.map((t) => ratingRow(state, t, withInterests));
  const seats = [...state.seats.keys()]
    .map((seat, column) => ({ seat, column }))
    .filter(({ column }) => rows.some((row) => row[column] !== undefined));
  const { min, max, better } = protocol.scale;
  return {
    scale: { min, max, better },
    tasks: standings.map((t) => t.task),
    reviewers: seats.map(({ seat }) => seat),
    cells: rows.map((row) => seats.map(({ column }) => row[column])),
  };
};
