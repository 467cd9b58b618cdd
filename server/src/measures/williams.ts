/**
 * A Williams square: rows of the conditions 0..k-1 in which every condition stands in every place equally often and
 * follows every other equally often. k rows for an even k, 2k for an odd one (each row and its mirror). Row 1 is
 * 0, 1, k-1, 2, k-2 ...; each next row adds one. Throws below two conditions. Source: Williams 1949 (from memory).
 */
export const williamsSquare = (k: number): number[][] => {
  if (!Number.isInteger(k) || k < 2) throw new RangeError('an order needs two conditions or more');
  const first = Array.from({ length: k }, (_, i) => (i % 2 === 1 ? (i + 1) / 2 : (k - i / 2) % k));
  const rows = Array.from({ length: k }, (_, add) => first.map((c) => (c + add) % k));
  return k % 2 === 0 ? rows : [...rows, ...rows.map((row) => row.toReversed())];
};
