/** A computed figure, or the plain reason why there is none. A figure is never NaN and never a guess. */
export type Figure<T = number> = { ok: true; value: T } | { ok: false; why: string };

export const figure = <T>(value: T): Figure<T> => ({ ok: true, value });
export const noFigure = (why: string): { ok: false; why: string } => ({ ok: false, why });

/** The value where there is one, for figures that are part of another. */
export const valueOf = <T>(f: Figure<T>): T | undefined => (f.ok ? f.value : undefined);
