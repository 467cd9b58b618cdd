import { describe, expect, test } from 'vitest';
import { canonicalText, parseCanonical } from '../../server/src/audit/canonical-json.ts';
import vectors from '../../fixtures/vectors/jcs.json' with { type: 'json' };

const numberOf = (hex: string): number => Buffer.from(hex, 'hex').readDoubleBE();

describe('RFC 8785 test data (cyberphone/json-canonicalization)', () => {
  test.each(vectors.pairs)('pair $name', ({ input_utf8, output_hex }) => {
    const text = canonicalText(JSON.parse(input_utf8));
    expect(Buffer.from(text).toString('hex')).toBe(output_hex);
  });

  test('appendix B numbers', () => {
    const finite = vectors.numbers.filter((n) => Number.isFinite(numberOf(n.ieee754_hex)));
    expect(finite.length).toBeGreaterThan(10);
    for (const n of finite) expect(canonicalText(numberOf(n.ieee754_hex))).toBe(n.expected);
    const rest = vectors.numbers.filter((n) => !Number.isFinite(numberOf(n.ieee754_hex)));
    for (const n of rest) expect(() => canonicalText(numberOf(n.ieee754_hex))).toThrow(TypeError);
  });

  test('golden numbers', () => {
    expect(vectors.golden_numbers).toHaveLength(400);
    for (const n of vectors.golden_numbers) {
      expect(canonicalText(numberOf(n.ieee754_hex))).toBe(n.expected);
    }
  });
});

describe('texts that are not canonical (lattice-substrate/json-canon)', () => {
  test.each(vectors.reject)('$id is refused', ({ input }) => {
    expect(() => parseCanonical(input)).toThrow();
  });
});

test('nesting beyond the limit is refused in both directions, without recursion into it', () => {
  const deep = '['.repeat(20_000) + ']'.repeat(20_000);
  expect(() => parseCanonical(deep)).toThrow(/nested deeper/u);
  let value: unknown = 1;
  for (let i = 0; i < 40; i++) value = [value];
  expect(() => canonicalText(value)).toThrow(/nested deeper/u);
});
