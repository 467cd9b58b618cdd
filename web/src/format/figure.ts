import type { FigureText, Shown } from '@unhindered/shared-types';
import { reasonText } from '../words/en/reasons.ts';
import { rounded } from './number.ts';

/** A shown value by `print`, or the reason why there is none. */
export const orWhy = (shown: Shown, print: (value: number) => string): string =>
  'value' in shown ? print(shown.value) : reasonText(shown.why);

/** A figure of the record with `decimals`, or the reason why there is none. */
export const figureWords = (figure: FigureText, decimals: number): string =>
  'value' in figure ? rounded(Number(figure.value), decimals) : reasonText(figure.undefinedBecause);

/** The number in a figure, where there is one. */
export const figureNumber = (figure: FigureText): number | undefined =>
  'value' in figure ? Number(figure.value) : undefined;
