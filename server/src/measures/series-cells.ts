import { blankCell, numberOf } from '@unhindered/shared-types';
import type { AddFault } from './series-fault.ts';

const YES = new Set(['1', 'yes', 'y', 'true', 'ok']);
const NO = new Set(['0', 'no', 'n', 'false']);
/** A cell as yes or no, alike. */
export const yesOf = (cell: string): boolean | 'blank' | undefined => {
  if (blankCell(cell)) return 'blank';
  const text = cell.trim().toLowerCase();
  return YES.has(text) ? true : NO.has(text) ? false : undefined;
};

/** Finds columns by their names in the first line; every one that is missing or doubled is a fault. */
export const columnPlaces = (
  header: readonly string[],
  names: readonly string[],
  add: AddFault,
): Map<string, number> => {
  const titles = header.map((title) => title.trim());
  const places = new Map<string, number>();
  for (const name of new Set(names)) {
    const at = titles.indexOf(name);
    if (at < 0) {
      add(1, name, 'there is no such column', `Choose one of: ${titles.join(', ')}.`);
    } else if (titles.indexOf(name, at + 1) >= 0) {
      add(1, name, 'the column stands twice', 'Give each column a name of its own.');
    } else places.set(name, at);
  }
  return places;
};

/** Numbers of the named cells: `blank` when any is blank, undefined (and a fault for each) when one is not understood. */
export const numbersOf = (
  row: { cells: readonly string[]; line: number },
  names: readonly string[],
  places: ReadonlyMap<string, number>,
  decimal: '.' | ',',
  add: AddFault,
): number[] | 'blank' | undefined => {
  const found: number[] = [];
  let blank = false;
  let bad = false;
  for (const name of names) {
    const cell = row.cells[places.get(name) ?? -1] ?? '';
    const value = numberOf(cell, decimal);
    if (value === 'blank') blank = true;
    else if (value !== undefined && Number.isFinite(value)) found.push(value);
    else {
      bad = true;
      const style = decimal === ',' ? 'comma' : 'point';
      add(row.line, name, `"${cell}" is no number`, `Write a number with a decimal ${style}.`);
    }
  }
  if (bad) return undefined;
  return blank ? 'blank' : found;
};
