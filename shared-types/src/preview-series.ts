import { csvRows, delimiterOf, type CsvRow } from './csv-rows.ts';
import { numberOf, type NumberStyle } from './number-style.ts';

/** What a column mapper shows before anything is read: a guess that a person confirms or changes. */
export interface SeriesPreview extends NumberStyle {
  columns: string[];
  /** The first rows as they stand. */
  rows: string[][];
  /** Samples a second by the median step of the first column whose numbers rise; undefined without one. */
  time: { column: string; unit: 's' | 'ms'; rate: number } | undefined;
}

const SHOWN = 8;
/** Steps longer than this are taken for milliseconds: nobody records a motion once in half a second. */
const LONGEST_STEP_S = 0.5;

/** Whole lines of the first piece of a file; its last line may be cut. */
const wholeLines = (text: string): string => {
  const last = text.lastIndexOf('\n');
  return last < 0 ? text : text.slice(0, last + 1);
};

/** Times of the first column that rises from row to row. */
const risingColumn = (
  header: readonly string[],
  rows: readonly CsvRow[],
  decimal: '.' | ',',
): { column: string; times: number[] } | undefined => {
  for (const [place, column] of header.entries()) {
    const times = rows.map((row) => numberOf(row.cells[place] ?? '', decimal));
    const numbers = times.filter((t) => typeof t === 'number');
    const rises = numbers.every((t, i) => i === 0 || t > (numbers[i - 1] ?? 0));
    if (numbers.length === rows.length && numbers.length > 2 && rises) {
      return { column: column.trim(), times: numbers };
    }
  }
  return undefined;
};

/**
 * Looks at the first piece of a file (some kilobytes of text): delimiter, decimal sign, names of the columns, first
 * rows, and a time column with its rate where one is plain. Guesses nothing about orientations: their order and axes
 * must be said by somebody who knows. `style` overrules the delimiter and the decimal sign found.
 */
export const previewSeries = (
  firstPiece: string,
  style: Partial<NumberStyle> = {},
): SeriesPreview => {
  const text = wholeLines(firstPiece.replace(/^\uFEFF/u, ''));
  const delimiter = style.delimiter ?? delimiterOf(text.split(/\r?\n|\r/u, 1)[0] ?? '');
  const found: CsvRow[] = [];
  csvRows(delimiter, (row) => found.push(row)).push(text);
  const [header, ...rows] = found;
  const columns = (header?.cells ?? []).map((title) => title.trim());
  const cells = rows.flatMap((row) => row.cells);
  const commas = delimiter !== ',' && cells.some((cell) => /^\s*[+-]?\d*,\d+\s*$/u.test(cell));
  const decimal = style.decimal ?? (commas ? ',' : '.');
  const rising = risingColumn(columns, rows, decimal);
  const steps = rising?.times.slice(1).map((t, i) => t - (rising.times[i] ?? 0)) ?? [];
  const step = steps.toSorted((a, b) => a - b)[Math.floor(steps.length / 2)];
  const unit = (step ?? 0) > LONGEST_STEP_S ? 'ms' : 's';
  const seconds = (step ?? 0) * (unit === 'ms' ? 0.001 : 1);
  return {
    delimiter,
    decimal,
    columns,
    rows: rows.slice(0, SHOWN).map((row) => row.cells),
    // A rate is set to a whole number or a plain share of one; binary noise of the step is not part of it.
    time:
      rising && step !== undefined
        ? { column: rising.column, unit, rate: Number((1 / seconds).toPrecision(6)) }
        : undefined,
  };
};
