import { CsvError, parse } from 'csv-parse/sync';
import type { RatingScale } from '../consensus/table.ts';
import { listColumns } from './list-columns.ts';
import { listRow } from './list-row.ts';
import type { ListedRating, ListFault, RatingList } from './rating-list.ts';

/** Most rows of a list: 500 tasks by 60 reviewers in 6 rounds. */
export const MAX_ROWS = 200_000;

interface Row {
  cells: string[];
  line: number;
}

/** Comma, semicolon or tab, whichever the first line uses most; spreadsheets differ by country. */
const delimiterOf = (text: string): string => {
  const first = text.split('\n', 1)[0] ?? '';
  const times = (sign: string): number => first.split(sign).length;
  return [';', '\t'].reduce((best, sign) => (times(sign) > times(best) ? sign : best), ',');
};

const rowsOf = (text: string): { rows: Row[] } | { faults: ListFault[] } => {
  try {
    const records = parse(text, {
      delimiter: delimiterOf(text),
      bom: true,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      to: MAX_ROWS + 2,
    }) as unknown as { record: string[]; info: { lines: number } }[];
    return { rows: records.map(({ record, info }) => ({ cells: record, line: info.lines })) };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const at: unknown = (error as unknown as { lines?: unknown }).lines;
    const line = typeof at === 'number' ? at : 1;
    const remedy = 'Put a quoted cell in one pair of quotes and double each quote inside it.';
    return { faults: [{ line, column: '', fault: 'the quotes do not match', remedy }] };
  }
};

const whole = (line: number, fault: string, remedy: string): ListFault => ({
  line,
  column: '',
  fault,
  remedy,
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
  const read = rowsOf(text);
  if ('faults' in read) return { ok: false, faults: read.faults };
  const [header, ...rows] = read.rows;
  if (!header) {
    const remedy = 'Begin with the line task,reviewer,rating.';
    return { ok: false, faults: [whole(1, 'the file is empty', remedy)] };
  }
  const { places, faults } = listColumns(header.cells);
  if (faults.length > 0) return { ok: false, faults };
  if (rows.length > MAX_ROWS) {
    const fault = `more than ${String(MAX_ROWS)} rows`;
    return { ok: false, faults: [whole(MAX_ROWS + 2, fault, 'Split the file by section.')] };
  }
  const ratings: ListedRating[] = [];
  for (const { cells, line } of rows) {
    if (cells.length !== header.cells.length) {
      const fault = `${String(cells.length)} cells, the first line has ${String(header.cells.length)}`;
      faults.push(whole(line, fault, 'Quote a cell that holds the delimiter.'));
      continue;
    }
    const row = listRow(cells, places, line, scale);
    faults.push(...row.faults);
    if (row.faults.length === 0) ratings.push(row.rating);
  }
  faults.push(...contradictions(ratings));
  if (faults.length === 0 && ratings.every((r) => r.rating === undefined)) {
    faults.push(whole(1, 'there is no rating in the file', 'Add a line for each rating.'));
  }
  faults.sort((a, b) => a.line - b.line);
  return faults.length > 0 ? { ok: false, faults } : { ok: true, ratings };
};
