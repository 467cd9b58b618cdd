import { roundHalfUp } from '@unhindered/shared-types';
import { locale } from './locale.ts';

const mark = new Intl.NumberFormat(locale).formatToParts(1.5)[1]?.value ?? '.';

/** WD-3: `value` with `decimals` places and the reader's decimal mark; rounded as everywhere, halves away from zero. */
export const rounded = (value: number, decimals: number): string =>
  roundHalfUp(value, decimals).replace('.', mark);

/** A decimal number as it is kept, with the reader's decimal mark and every digit. */
export const decimalText = (kept: string): string => kept.replace('.', mark);

/** A number that is short by itself, such as one at the edge of a plot, with the reader's decimal mark. */
export const plain = (value: number): string => decimalText(String(value)).replace('-', '\u2212');

/** Steps with one decimal, halves away from zero, without a decimal that says nothing. */
export const stepsText = (value: number): string => rounded(value, 1).replace(/[.,]0$/u, '');

/** A coefficient or share with two decimals. */
export const coefficient = (value: number): string => rounded(value, 2);

/** Steps with two decimals and their sign; a true minus, and none for zero. */
export const signed = (value: number): string => {
  const text = rounded(Math.abs(value), 2);
  if (!/[1-9]/u.test(text)) return text;
  return `${value < 0 ? '\u2212' : '+'}${text}`;
};

/** A share as a whole percentage. */
export const percent = (value: number): string => `${rounded(value * 100, 0)} %`;
