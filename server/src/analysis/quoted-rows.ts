import { CsvError, parse } from 'csv-parse/sync';
import type { ListFault } from './rating-list.ts';

/** Cells of one row of a list, and the line of the file on which it ends. */
export interface Row {
  cells: string[];
  line: number;
}

/** Most lines with quotes that do not match that are looked for: what follows each is read anew. */
const MOST_FAULTS = 50;

/** Comma, semicolon or tab, whichever the first line uses most; spreadsheets differ by country. */
const delimiterOf = (text: string): string => {
  const first = text.split('\n', 1)[0] ?? '';
  const times = (sign: string): number => first.split(sign).length;
  return [';', '\t'].reduce((best, sign) => (times(sign) > times(best) ? sign : best), ',');
};

/** The name that the first line gives a column, or its number where it gives none. */
const columnName = (first: string, delimiter: string, place: number): string => {
  const names = first.replace(/[\ufeff"]/gu, '').split(delimiter);
  return names[place]?.trim() || `number ${String(place + 1)}`;
};

/** Rows of a text up to where its quotes fail, and the place in the row where they do; null when they match. */
const rowsUntilFault = (
  text: string,
  delimiter: string,
  most: number,
): { rows: Row[]; place: number | null } => {
  const rows: Row[] = [];
  try {
    parse(text, {
      delimiter,
      bom: true,
      relax_column_count: true,
      skip_empty_lines: true,
      to: most,
      on_record: (cells: string[], { lines }: { lines: number }) => {
        rows.push({ cells, line: lines });
        return null;
      },
    });
    return { rows, place: null };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const { column } = error as unknown as { column?: unknown };
    return { rows, place: typeof column === 'number' ? column : 0 };
  }
};

/** Where the line after the first `count` lines of a text begins. */
const afterLines = (text: string, count: number): number => {
  let at = 0;
  for (let left = count; left > 0; left--) {
    const end = text.indexOf('\n', at);
    if (end < 0) return text.length;
    at = end + 1;
  }
  return at;
};

/**
 * Splits a list into rows (RFC 4180; comma, semicolon or tab), at most `most` of them. A line whose quotes do not
 * match is a fault and is left out; reading goes on with the line after it, so that it hides no other fault.
 */
export const quotedRows = (text: string, most: number): { rows: Row[]; faults: ListFault[] } => {
  const delimiter = delimiterOf(text);
  const first = text.split('\n', 1)[0] ?? '';
  const rows: Row[] = [];
  const faults: ListFault[] = [];
  let done = 0;
  for (let rest = text; ;) {
    const read = rowsUntilFault(rest, delimiter, most - rows.length);
    for (const { cells, line } of read.rows) rows.push({ cells, line: line + done });
    if (read.place === null) return { rows, faults };
    const whole = read.rows.at(-1)?.line ?? 0;
    rest = rest.slice(afterLines(rest, whole));
    const blank = /^(?:\r?\n)*/u.exec(rest)?.[0].split('\n').length ?? 1;
    const line = done + whole + blank;
    const column = columnName(first, delimiter, read.place);
    const remedy = 'Put a quoted cell in one pair of quotes and double each quote inside it.';
    faults.push({ line, column, fault: 'the quotes do not match', remedy });
    if (faults.length === MOST_FAULTS) {
      const more = 'there may be more of them: the lines after this one were not read';
      return { rows, faults: [...faults, { line, column, fault: more, remedy }] };
    }
    rest = rest.slice(afterLines(rest, blank));
    done = line;
  }
};
