import { decimal12, type FigureText } from '@unhindered/shared-types';
import type { Figure } from '../consensus/figure.ts';

/** A figure as the log holds it. */
export const figureText = (f: Figure): FigureText =>
  f.ok ? { value: decimal12(f.value) } : { undefinedBecause: f.why };
