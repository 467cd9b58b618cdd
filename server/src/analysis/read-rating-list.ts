import type { RatingScale } from '../consensus/table.ts';
import { listColumns } from './list-columns.ts';
import { listRow } from './list-row.ts';
import { quotedRows } from './quoted-rows.ts';
import type { ListedRating, ListFault, RatingList } from './rating-list.ts';

/** Most rows of a list: 500 tasks by 60 reviewers in 6 rounds. */
export const MAX_ROWS = 200_000;

/** A row that is longer or shorter than the first line, with the column where it ends or should have. */
export const cellCount = (line: number, cells: number, header: readonly string[]): ListFault => ({
  line,
  column: header[cells]?.trim() ?? `after ${header.at(-1)?.trim() ?? ''}`,
  fault: `${String(cells)} cells, the first line has ${String(header.length)}`,
  remedy: 'Quote a cell that holds the delimiter; leave an absent rating blank or write NA.',
});

/** Two ratings of the same cell, and a task in two sections or with two weights. */
const contradictions = (ratings: readonly ListedRating[]): ListFault[] => {
  const faults: ListFault[] = [];
  const cells = new Map<string, number>();
  const tasks = new Map<string, ListedRating>();
  for (const r of ratings) {
    const key = JSON.stringify([r.task, r.reviewer, r.round, r.trial]);
    const earlier = cells.get(key);
    if (earlier !== undefined) {
      const fault = `${r.reviewer} already rated ${r.task} in line ${String(earlier)}`;
      const remedy = 'Keep one of them, or tell them apart by round or trial.';
      faults.push({ line: r.line, column: 'rating', fault, remedy });
    } else cells.set(key, r.line);
    const first = tasks.get(r.task) ?? r;
    tasks.set(r.task, first);
    for (const column of ['section', 'weight'] as const) {
      if (first[column] === r[column]) continue;
      const fault = `${r.task} has another ${column} in line ${String(first.line)}`;
      faults.push({ line: r.line, column, fault, remedy: `Give a task one ${column}.` });
    }
  }
  return faults;
};

/**
 * Reads a list of ratings (columns task, reviewer, rating; optional section, weight, round, trial). A blank
 * cell, NA or N/A is an absent rating. Delimiter comma, semicolon or tab; decimal point or comma. Every
 * fault is listed with its line and column; nothing is guessed.
 */
export const readRatingList = (text: string, scale: RatingScale): RatingList => {
  const read = quotedRows(text, MAX_ROWS + 2);
  const [header, ...rows] = read.rows;
  // Without its first line a list cannot be read further.
  if (read.faults[0] && read.faults[0].line <= (header?.line ?? Infinity))
    return { ok: false, faults: read.faults };
  if (!header) {
    const remedy = 'Begin with the line task,reviewer,rating.';
    const empty = { line: 1, column: 'task', fault: 'the file is empty', remedy };
    return { ok: false, faults: [empty] };
  }
  const { places, faults: unnamed } = listColumns(header.cells);
  const faults = [...read.faults, ...unnamed];
  if (unnamed.length > 0) return { ok: false, faults };
  if (rows.length > MAX_ROWS) {
    const fault = `more than ${String(MAX_ROWS)} rows`;
    const remedy = 'Split the file by section.';
    return { ok: false, faults: [{ line: MAX_ROWS + 2, column: 'task', fault, remedy }] };
  }
  const ratings: ListedRating[] = [];
  for (const { cells, line } of rows) {
    if (cells.length !== header.cells.length) {
      faults.push(cellCount(line, cells.length, header.cells));
      continue;
    }
    const row = listRow(cells, places, line, scale);
    faults.push(...row.faults);
    if (row.faults.length === 0) ratings.push(row.rating);
  }
  faults.push(...contradictions(ratings));
  if (faults.length === 0 && ratings.every((r) => r.rating === undefined)) {
    const fault = 'there is no rating in the file';
    faults.push({ line: 1, column: 'rating', fault, remedy: 'Add a line for each rating.' });
  }
  faults.sort((a, b) => a.line - b.line);
  return faults.length > 0 ? { ok: false, faults } : { ok: true, ratings };
};
