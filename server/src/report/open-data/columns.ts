import { stringify } from 'csv-stringify/sync';
import { safeText } from './text-cell.ts';

/** One column of a file: its name, what stands in it, and where it comes from. */
export interface Column<Row> {
  name: string;
  type: 'text' | 'number' | 'yes-no' | 'time' | 'id';
  meaning: string;
  /** Null is an empty cell: not given, or not applicable. */
  of: (row: Row) => string | number | boolean | null;
}

/** A file of the open data with its columns; the dictionary is made from the same list. */
export interface DataFile {
  name: string;
  meaning: string;
  columns: readonly Pick<Column<never>, 'name' | 'type' | 'meaning'>[];
  /** Rows below the head; a row of the text may take several lines. */
  rows: number;
  text: string;
}

const cell = (value: string | number | boolean | null): string => {
  if (value === null) return '';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return typeof value === 'number' ? String(value) : safeText(value);
};

/** RFC 4180 text in UTF-8 order of rows as given, line feed at each end, head first. */
export const dataFile = <Row>(
  name: string,
  meaning: string,
  columns: readonly Column<Row>[],
  rows: readonly Row[],
): DataFile => ({
  name,
  meaning,
  columns: columns.map(({ name: n, type, meaning: m }) => ({ name: n, type, meaning: m })),
  rows: rows.length,
  text: stringify([
    columns.map((c) => c.name),
    ...rows.map((row) => columns.map((c) => cell(c.of(row)))),
  ]),
});
