import { line as oneLine } from '@unhindered/shared-types';
import * as v from 'valibot';
import type { RatingScale } from '../consensus/table.ts';
import type { ColumnPlaces, ListColumn } from './list-columns.ts';
import type { ListedRating, ListFault } from './rating-list.ts';

const NAME_MAX = 200;
const ABSENT = new Set(['', 'na', 'n/a']);

/** A decimal number as people type it, point or comma; no exponents, signs only in front. */
const NUMBER = /^[+-]?\d{1,9}(?:[.,]\d{1,15})?$/u;

const numberOf = (raw: string): number | undefined =>
  NUMBER.test(raw) ? Number(raw.replace(',', '.')) : undefined;

const cut = (raw: string): string => (raw.length > 40 ? `${raw.slice(0, 40)}...` : raw);

/** Reads the cells of one row, collecting what is wrong with each. */
class RowReader {
  readonly faults: ListFault[] = [];
  readonly #cells: readonly string[];
  readonly #places: ColumnPlaces;
  readonly #line: number;

  constructor(cells: readonly string[], places: ColumnPlaces, line: number) {
    this.#cells = cells;
    this.#places = places;
    this.#line = line;
  }

  raw(column: ListColumn): string | undefined {
    const place = this.#places.get(column);
    return place === undefined ? undefined : (this.#cells[place] ?? '').trim();
  }

  fault(column: string, fault: string, remedy: string): void {
    this.faults.push({ line: this.#line, column, fault, remedy });
  }

  /** A name of up to 200 characters on one line; empty only where it may be. */
  name(column: ListColumn, mayBeEmpty: boolean): string {
    const parsed = v.safeParse(oneLine(mayBeEmpty ? 0 : 1, NAME_MAX), this.raw(column) ?? '');
    if (parsed.success) return parsed.output;
    const empty = this.raw(column) === '';
    this.fault(
      column,
      empty ? 'the name is empty' : 'the name cannot be used',
      empty ? `Name the ${column}.` : parsed.issues[0].message,
    );
    return '';
  }

  /** A number, or undefined when the cell is absent; `accept` says what else must hold. */
  number(column: ListColumn, accept: (x: number) => boolean, remedy: string): number | undefined {
    const raw = this.raw(column);
    if (raw === undefined || ABSENT.has(raw.toLowerCase())) return undefined;
    const value = numberOf(raw);
    if (value !== undefined && accept(value)) return value;
    this.fault(column, `"${cut(raw)}" is not a ${column}`, remedy);
    return undefined;
  }
}

/** One row as a rating, or everything that is wrong with it. */
export const listRow = (
  cells: readonly string[],
  places: ColumnPlaces,
  line: number,
  scale: RatingScale,
): { rating: ListedRating; faults: ListFault[] } => {
  const row = new RowReader(cells, places, line);
  const { min, max } = scale;
  const rating: ListedRating = {
    task: row.name('task', false),
    reviewer: row.name('reviewer', false),
    rating: row.number(
      'rating',
      (x) => x >= min && x <= max && Number.isInteger(2 * x),
      `Write a whole or half point from ${String(min)} to ${String(max)}, or leave the cell blank; another scale is set with --scale MIN:MAX.`,
    ),
    section: row.name('section', true) || undefined,
    weight: row.number('weight', (x) => x >= 0 && x <= 1e6, 'Write 0 or a positive number.'),
    round:
      row.number(
        'round',
        (x) => Number.isInteger(x) && x >= 1 && x <= 99,
        'Count rounds from 1.',
      ) ?? 1,
    trial: row.name('trial', true),
    line,
  };
  return { rating, faults: row.faults };
};
