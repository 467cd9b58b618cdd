/** One line of cells; `line` is the line of the file it began in, from 1. */
export interface CsvRow {
  cells: string[];
  line: number;
}

export type Delimiter = ',' | ';' | '\t';

/** Comma, semicolon or tab, whichever the first line uses most; spreadsheets differ by country. */
export const delimiterOf = (firstLine: string): Delimiter => {
  const times = (sign: string): number => firstLine.split(sign).length;
  return ([';', '\t'] as const).reduce<Delimiter>(
    (best, sign) => (times(sign) > times(best) ? sign : best),
    ',',
  );
};

/** Longest cell read; a file of one endless line must not fill the memory. */
const MAX_CELL = 10_000;
/** Most cells of a line, and so most columns. */
const MAX_CELLS = 1000;

/**
 * Reads comma-separated text piece by piece, wherever the pieces are cut: cells in double quotes (a doubled quote is
 * one), CRLF, LF or CR lines, a leading byte order mark; empty lines are passed over. `row` is called for each line.
 * Throws RangeError on a cell or line without end, and on a NUL, which no text file holds. `unclosed` tells where a
 * quote was opened that is never closed: its line, and its cell counted from 0.
 */
export const csvRows = (delimiter: Delimiter, row: (row: CsvRow) => void) => {
  let cells: string[] = [];
  let cell = '';
  let quoted = false;
  let closed = false;
  let line = 1;
  let began = 1;
  let first = true;
  let afterReturn = false;

  const endCell = (): void => {
    cells.push(cell);
    if (cells.length > MAX_CELLS) {
      const most = `more than ${String(MAX_CELLS)} columns`;
      throw new RangeError(
        `line ${String(began)} has too many cells (${most}): export fewer columns`,
      );
    }
    cell = '';
    closed = false;
  };
  const endLine = (): void => {
    const blank = cells.length === 0 && cell === '' && !closed;
    endCell();
    if (!blank) row({ cells, line: began });
    cells = [];
    line += 1;
    began = line;
  };
  const inQuotes = (sign: string): void => {
    if (sign === '"') {
      quoted = false;
      closed = true;
      return;
    }
    if (sign === '\n') line += 1;
    cell += sign;
  };
  const noText = (): never => {
    const place = `line ${String(began)}, column ${String(cells.length + 1)}`;
    throw new RangeError(`${place} holds a NUL byte: this is no text file; save it as CSV UTF-8`);
  };
  const outside = (sign: string): void => {
    if (sign === delimiter) endCell();
    else if (sign === '\n' || sign === '\r') endLine();
    else if (sign === '"' && closed) {
      // A doubled quote: back inside, with one quote.
      cell += '"';
      quoted = true;
      closed = false;
    } else if (sign === '"' && cell === '') quoted = true;
    else cell += sign;
  };

  const push = (text: string): void => {
    for (const sign of text) {
      if (first && sign === '\uFEFF') {
        first = false;
        continue;
      }
      first = false;
      if (sign === '\0') noText();
      if (quoted) inQuotes(sign);
      else if (!(sign === '\n' && afterReturn)) outside(sign);
      afterReturn = !quoted && sign === '\r';
      if (cell.length > MAX_CELL)
        throw new RangeError(
          `line ${String(began)} has an endless cell: it must not be longer than ${String(MAX_CELL)} signs`,
        );
    }
  };
  const end = (): { unclosed: { line: number; cell: number } | undefined } => {
    if (quoted) return { unclosed: { line: began, cell: cells.length } };
    if (cells.length > 0 || cell !== '' || closed) endLine();
    return { unclosed: undefined };
  };
  return { push, end };
};
