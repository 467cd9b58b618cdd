import { describe, expect, test } from 'vitest';
import rounding from '../../fixtures/reference/rounding.json' with { type: 'json' };
import { decimal12, roundHalfUp } from '../../shared-types/src/index.ts';

/** Expected: Python's decimal module, ROUND_HALF_UP on the shortest decimal that prints the number. */
const sameWithTwelveDigits = (c: { value: number }): boolean =>
  Number(c.value.toPrecision(12)) === c.value;

describe('half up on the decimal as shown', () => {
  test('every case with up to 12 digits, one and two places', () => {
    const cases = rounding.cases.filter(sameWithTwelveDigits);
    expect(cases.length).toBeGreaterThan(50);
    for (const c of cases) {
      const zero = (s: string): string => s.replace(/^-(0(\.0+)?)$/u, '$1');
      expect(roundHalfUp(c.value, 1), c.repr).toBe(zero(c.halfUpShown1));
      expect(roundHalfUp(c.value, 2), c.repr).toBe(zero(c.halfUpShown2));
    }
  });

  test('binary noise is dropped first: 12 digits decide', () => {
    expect(roundHalfUp(2.6249999999999996, 2)).toBe('2.63');
    expect(roundHalfUp(0.1 + 0.2, 1)).toBe('0.3');
    expect(roundHalfUp(1.005, 2)).toBe('1.01');
    expect(roundHalfUp(4.35, 1)).toBe('4.4');
    expect(roundHalfUp(1.15, 1)).toBe('1.2');
  });

  test('never twice: 2.446 is 2.4, not 2.45 and then 2.5', () => {
    expect(roundHalfUp(2.446, 1)).toBe('2.4');
  });

  test('whole numbers, carries and negative zero', () => {
    expect(roundHalfUp(9.95, 1)).toBe('10.0');
    expect(roundHalfUp(99.5, 0)).toBe('100');
    expect(roundHalfUp(-2.25, 1)).toBe('-2.3');
    expect(roundHalfUp(-0.04, 1)).toBe('0.0');
  });
});

describe('a figure as the log holds it', () => {
  test.each([
    [0, '0'],
    [-0, '0'],
    [2.5, '2.5'],
    [100, '100'],
    [1 / 3, '0.333333333333'],
    [-2 / 3, '-0.666666666667'],
    [2.6249999999999996, '2.625'],
    [1e-7, '0.0000001'],
    [123456789012.4, '123456789012'],
    [1234567890123.4, '1234567890120'],
  ])('%d is written %s', (value, text) => {
    expect(decimal12(value)).toBe(text);
  });

  test('reading it back and writing it again changes nothing', () => {
    for (const { value } of rounding.cases) {
      const text = decimal12(value);
      expect(decimal12(Number(text))).toBe(text);
    }
  });

  test.each([NaN, Infinity, -Infinity])('%d is no figure', (value) => {
    expect(() => decimal12(value)).toThrow(RangeError);
  });
});
