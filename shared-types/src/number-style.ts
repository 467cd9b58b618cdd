import type { Delimiter } from './csv-rows.ts';

/** How the numbers of a file are written. A decimal comma cannot stand beside a comma between cells. */
export interface NumberStyle {
  delimiter: Delimiter;
  decimal: '.' | ',';
}

const BLANK = new Set(['', 'nan', 'na', 'n/a', 'null', '-']);
const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/iu;

/** Whether a cell says that there is no value. */
export const blankCell = (cell: string): boolean => BLANK.has(cell.trim().toLowerCase());

/** A cell as a number: `blank` for one that says it has none, undefined for one that is not understood. */
export const numberOf = (cell: string, decimal: '.' | ','): number | 'blank' | undefined => {
  if (blankCell(cell)) return 'blank';
  const text = cell.trim();
  const plain = decimal === ',' ? text.replace(',', '.') : text;
  return NUMBER.test(plain) ? Number(plain) : undefined;
};
