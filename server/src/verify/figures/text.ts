/** Decimal text of 12 significant digits, written the long way round: through a fixed-point print and trimming. */
export const decimalText = (value: number): string => {
  const rounded = Number(value.toPrecision(12));
  if (rounded === 0) return '0';
  const magnitude = Math.floor(Math.log10(Math.abs(rounded)));
  const places = Math.min(100, Math.max(0, 12 - magnitude));
  const fixed = rounded.toFixed(places).replace(/\.?0+$/u, '');
  // toFixed may print binary noise past the twelfth digit: cut it to twelve by the shortest spelling.
  return Math.abs(rounded) >= 1e-6 ? trim(String(rounded), fixed) : fixed;
};

const trim = (short: string, fixed: string): string => (short.includes('e') ? fixed : short);

export type FigureText = { value: string } | { undefinedBecause: string };

export const known = (value: number): FigureText => ({ value: decimalText(value) });
export const unknown = (why: string): FigureText => ({ undefinedBecause: why });
