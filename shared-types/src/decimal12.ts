/**
 * A figure as the log holds it: the shortest decimal text of its 12 significant digits, without exponent,
 * trailing zeros or a negative zero. Twelve digits drop the noise of binary arithmetic and keep everything a
 * reader could use. Throws on a value that is not finite: such a figure must not exist.
 */
export const decimal12 = (value: number): string => {
  if (!Number.isFinite(value)) throw new RangeError('a figure must be finite');
  const [digits = '0', exponent = '0'] = value.toExponential(11).split('e');
  const negative = digits.startsWith('-');
  const significand = digits.replace(/[-.]/gu, '').replace(/0+$/u, '');
  if (significand === '') return '0';
  const point = Number(exponent) + 1;
  const whole = point > 0 ? significand.slice(0, point).padEnd(point, '0') : '0';
  const rest = point > 0 ? significand.slice(point) : `${'0'.repeat(-point)}${significand}`;
  return `${negative ? '-' : ''}${whole}${rest === '' ? '' : `.${rest}`}`;
};
