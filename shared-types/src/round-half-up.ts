import { decimal12 } from './decimal12.ts';

/**
 * Decimal text of `value` with `decimals` places, halves away from zero, decided on the 12 significant digits
 * as shown (2.6249999999999996 is 2.625). Never round a rounded figure again.
 */
export const roundHalfUp = (value: number, decimals: number): string => {
  const text = decimal12(value);
  const negative = text.startsWith('-');
  const [whole = '0', fraction = ''] = text.replace('-', '').split('.');
  const padded = fraction.padEnd(decimals + 1, '0');
  const kept = BigInt(whole + padded.slice(0, decimals));
  const rounded = (padded[decimals] ?? '0') >= '5' ? kept + 1n : kept;
  const digits = rounded.toString().padStart(decimals + 1, '0');
  const cut = digits.length - decimals;
  const shown = decimals === 0 ? digits : `${digits.slice(0, cut)}.${digits.slice(cut)}`;
  return negative && rounded !== 0n ? `-${shown}` : shown;
};
