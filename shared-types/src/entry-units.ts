/** Spellings a unit may be typed in, and the factor to the unit the measure is kept in. */
const SPELLINGS: Record<string, Record<string, number>> = {
  s: { s: 1, sec: 1, secs: 1, second: 1, seconds: 1, ms: 0.001, min: 60, mins: 60 },
  min: { min: 1, mins: 1, minute: 1, minutes: 1, s: 1 / 60, sec: 1 / 60, h: 60 },
  deg: { deg: 1, degree: 1, degrees: 1, '°': 1, rad: 180 / Math.PI },
  'm/s2': { 'm/s2': 1, 'm/s^2': 1, g: 9.80665 },
  mm: { mm: 1, cm: 10, m: 1000, in: 25.4, inch: 25.4, inches: 25.4 },
  '/min': { '/min': 1, 'per min': 1, 'per minute': 1, bpm: 1 },
  '%': { '%': 1, percent: 1, 'per cent': 1 },
  ml: { ml: 1, cc: 1, l: 1000 },
  kg: { kg: 1, g: 0.001, lb: 0.45359237, lbs: 0.45359237 },
  mmhg: { mmhg: 1, kpa: 7.50061683 },
  degc: { degc: 1, c: 1, '°c': 1 },
  points: { points: 1, point: 1, pts: 1 },
  count: { count: 1 },
};

/**
 * Factor from the typed unit to the measure's unit; 1 when no unit was typed; undefined when that unit is not
 * understood for it. Letter case does not matter.
 */
export const unitFactor = (unit: string, typed: string): number | undefined => {
  const spelling = typed.toLowerCase();
  if (spelling === '' || spelling === unit.toLowerCase()) return 1;
  const known = SPELLINGS[unit.toLowerCase()];
  return known && Object.hasOwn(known, spelling) ? known[spelling] : undefined;
};

/** The spellings understood for a unit, for the remedy of a fault. */
export const unitSpellings = (unit: string): string[] => [
  ...new Set([unit, ...Object.keys(SPELLINGS[unit.toLowerCase()] ?? {})]),
];
