import { protocolTasks, type PaperRow, type Protocol } from '@unhindered/shared-types';
import { paperColumns } from './paper-columns.ts';
import { paperRow, taskNames } from './paper-row.ts';
import { quotedRows } from './quoted-rows.ts';
import { cellCount } from './read-rating-list.ts';
import type { ListFault } from './rating-list.ts';

/** Most rows of a file of ratings from paper. */
const MAX_ROWS = 30_000;

/** What a file holds: the rows that are right, and everything that is wrong with the others. */
export interface PaperList {
  rows: PaperRow[];
  faults: ListFault[];
  /** The faults are of the file as a whole, and no row was read. */
  whole: boolean;
  /** Lines below the head; and those of them without a rating, or that the file itself says do not stand. */
  lines: number;
  empty: number;
  /** Columns that were there and are not needed. */
  ignored: string[];
}

const unread = (faults: ListFault[]): PaperList => ({
  rows: [],
  faults,
  whole: true,
  lines: 0,
  empty: 0,
  ignored: [],
});

/** Rows that rate the same task in the same round: neither is taken, for nobody says which one is meant. */
const contradictions = (rows: readonly PaperRow[]): ListFault[] => {
  const cells = new Map<string, PaperRow[]>();
  for (const row of rows) {
    const key = JSON.stringify([row.task, row.reviewer, row.round]);
    cells.set(key, [...(cells.get(key) ?? []), row]);
  }
  return [...cells.values()].flatMap((same) =>
    same.length < 2
      ? []
      : same.map((row) => {
          const others = same.filter((o) => o !== row).map((o) => String(o.line));
          const fault = `${row.reviewer} rates ${row.task} in line ${others.join(', ')} too`;
          const remedy = 'Keep one of them, or tell them apart by round.';
          return { line: row.line, column: 'rating', fault, remedy };
        }),
  );
};

/**
 * Reads a file of ratings that were given on paper, against the protocol they were given under: columns task, reviewer,
 * rating; optional round, answer, easier, reason, critical, note, rated_at and stands, as `analyse` and the open data have
 * them. A blank rating is none. Every fault is listed with its line, its column and its remedy; nothing is guessed.
 */
export const readPaperList = (text: string, protocol: Protocol): PaperList => {
  const read = quotedRows(text, MAX_ROWS + 2);
  // Where quotes do not match nobody knows for sure which cells belong to which line.
  if (read.faults.length > 0) return unread(read.faults);
  const [header, ...lines] = read.rows;
  if (!header) {
    const remedy = 'Begin with the line task,reviewer,rating.';
    return unread([{ line: 1, column: 'task', fault: 'the file is empty', remedy }]);
  }
  const { places, ignored, faults } = paperColumns(header.cells);
  if (faults.length > 0) return unread(faults);
  if (lines.length > MAX_ROWS) {
    const fault = `more than ${String(MAX_ROWS)} rows`;
    return unread([
      { line: MAX_ROWS + 2, column: '', fault, remedy: 'One file holds one panel’s ratings.' },
    ]);
  }
  const reading = { protocol, places, tasks: taskNames(protocolTasks(protocol)) };
  const good: PaperRow[] = [];
  let empty = 0;
  for (const { cells, line } of lines) {
    if (cells.length !== header.cells.length) {
      faults.push(cellCount(line, cells.length, header.cells));
      continue;
    }
    const { row, faults: wrong } = paperRow(cells, reading, line);
    faults.push(...wrong);
    if (wrong.length > 0) continue;
    if (row) good.push(row);
    else empty += 1;
  }
  faults.push(...contradictions(good));
  const bad = new Set(faults.map((f) => f.line));
  const rows = good.filter((row) => !bad.has(row.line));
  if (rows.length === 0 && faults.length === 0) {
    const fault = 'there is no rating in the file';
    return unread([{ line: 1, column: 'rating', fault, remedy: 'Add a line for each rating.' }]);
  }
  faults.sort((a, b) => a.line - b.line);
  return { rows, faults, whole: rows.length === 0, lines: lines.length, empty, ignored };
};
