import { csvRows, type CsvRow, type Delimiter, type SeriesFaults } from '@unhindered/shared-types';
import { columnPlaces } from './series-cells.ts';
import { seriesFaults, type AddFault } from './series-fault.ts';

/** Most rows of a series: over half an hour at 100 a second. */
export const MAX_SERIES_ROWS = 200_000;

/** A row of the right length, and where the wanted columns stand in it. */
export type OnRow = (row: CsvRow, places: ReadonlyMap<string, number>) => void;

/**
 * Reads a table with a first line of names, piece by piece. Every row of the right length goes to `onRow`, as long as
 * the wanted columns are all there; what is wrong with the file or a row is a fault, and so is what `onRow` adds.
 */
export const seriesTable = (
  delimiter: Delimiter,
  wanted: readonly string[],
  onRow: (add: AddFault) => OnRow,
) => {
  const { add, faults } = seriesFaults();
  const take = onRow(add);
  const names = new Set(wanted);
  let header: string[] | undefined;
  let places = new Map<string, number>();
  let rows = 0;
  /** A column by its name, or by its number where it has none. */
  const nameOf = (cell: number): string => {
    const name = header?.[cell]?.trim() ?? '';
    return name === '' ? String(cell + 1) : name;
  };

  const body = (row: CsvRow, width: number): void => {
    rows += 1;
    if (rows === MAX_SERIES_ROWS + 1) {
      const fault = `more than ${String(MAX_SERIES_ROWS)} rows`;
      add(row.line, '', fault, 'Cut the file to the trial, or lower its rate.');
    }
    if (rows > MAX_SERIES_ROWS) return;
    if (row.cells.length !== width) {
      const fault = `${String(row.cells.length)} cells, the first line has ${String(width)}`;
      const cell = Math.min(row.cells.length, width);
      add(row.line, nameOf(cell), fault, 'Quote a cell that holds the delimiter.');
    } else if (places.size === names.size) take(row, places);
  };
  const csv = csvRows(delimiter, (row) => {
    if (header) return body(row, header.length);
    header = row.cells;
    places = columnPlaces(header, wanted, add);
  });
  // What comes after too many rows is refused with them, and need not be taken apart.
  const push = (text: string): void => {
    if (rows <= MAX_SERIES_ROWS) csv.push(text);
  };
  const end = (): SeriesFaults => {
    if (rows > MAX_SERIES_ROWS) return faults;
    const { unclosed } = csv.end();
    if (unclosed !== undefined) {
      const { line, cell } = unclosed;
      add(
        line,
        nameOf(cell),
        'a quote is opened and never closed',
        'Close it, or double it in a cell.',
      );
    }
    if (rows === 0) {
      add(
        header ? 2 : 1,
        wanted[0] ?? '',
        'there is no row',
        'Begin with the names of the columns, then the rows.',
      );
    }
    return faults;
  };
  return { push, rows: () => rows, add, end };
};
