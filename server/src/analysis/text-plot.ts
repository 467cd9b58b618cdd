/** Small plots for a terminal, in fixed-width signs. */

const clamp = (x: number, low: number, high: number): number => Math.min(high, Math.max(low, x));

/** `text` cut or padded to `width` signs. */
export const fit = (text: string, width: number): string =>
  [...text].length > width
    ? `${[...text].slice(0, width - 1).join('')}…`
    : text + ' '.repeat(width - [...text].length);

/** Ratings at each point of a scale, `.` for none; the median stands in brackets, around two points
 * when it lies between them. */
export const countStrip = (
  counts: readonly number[],
  first: number,
  median: number | null,
): string => {
  const opens = (at: number): boolean => median !== null && median - at >= 0 && median - at < 1;
  const closes = (at: number): boolean => median !== null && at - median >= 0 && at - median < 1;
  return counts
    .map((n, i) => {
      const sign = n === 0 ? '.' : n > 9 ? '+' : String(n);
      return `${opens(first + i) ? '[' : ' '}${sign}${closes(first + i) ? ']' : ' '}`;
    })
    .join('');
};

/** A bar to the left or right of a datum: `<<<|   ` or `   |>>  `. `half` signs stand for `most`. */
export const signedBar = (value: number, most: number, half: number): string => {
  const length = most > 0 ? clamp(Math.round((Math.abs(value) / most) * half), 0, half) : 0;
  const left = value < 0 ? length : 0;
  const right = value > 0 ? length : 0;
  return `${' '.repeat(half - left)}${'<'.repeat(left)}|${'>'.repeat(right)}${' '.repeat(half - right)}`;
};

/** A value with its interval on the scale: `----[==o==]----`; parts beyond the ends are cut. */
export const intervalStrip = (
  { value, lower, upper }: { value: number; lower: number | null; upper: number | null },
  scale: { min: number; max: number },
  width: number,
): string => {
  const at = (x: number): number =>
    clamp(Math.round(((x - scale.min) / (scale.max - scale.min)) * (width - 1)), 0, width - 1);
  const signs = new Array<string>(width).fill('-');
  if (lower !== null && upper !== null) {
    for (let i = at(lower); i <= at(upper); i++) signs[i] = '=';
    signs[at(lower)] = '[';
    signs[at(upper)] = ']';
  }
  signs[at(value)] = 'o';
  return signs.join('');
};
