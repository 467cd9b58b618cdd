import { figure, noFigure, type Figure } from '../consensus/figure.ts';

type Values<F> = { [K in keyof F]: F[K] extends Figure<infer T> ? T | null : never } & {
  notes?: Record<string, string>;
};

/** Figures as values, null where there is none, with the reasons beside them under `notes`. */
export const noted = <F extends Record<string, Figure<unknown>>>(figures: F): Values<F> => {
  const entries = Object.entries(figures);
  const values = Object.fromEntries(entries.map(([k, f]) => [k, f.ok ? f.value : null]));
  const why = entries.flatMap(([k, f]) => (f.ok ? [] : [[k, f.why] as const]));
  const notes = why.length > 0 ? { notes: Object.fromEntries(why) } : {};
  return { ...values, ...notes } as Values<F>;
};

/** A value that may be missing, with the reason why. */
export const orWhy = <T>(value: T | undefined, why: string): Figure<T> =>
  value === undefined ? noFigure(why) : figure(value);

/** One part of a figure that holds several. */
export const part = <T, P>(f: Figure<T>, pick: (value: T) => P): Figure<P> =>
  f.ok ? figure(pick(f.value)) : f;
