import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  compareVersions,
  greatestVersion,
  nextVersion,
} from '../../../server/src/protocol/versions.ts';

describe('PR-6: versions in order', () => {
  test.each([
    ['1.10.0', '1.9.9', 1],
    ['1.0.0', '1.0.0', 0],
    ['2.0.0', '10.0.0', -1],
    ['1.2.3', '1.2.4', -1],
  ])('PR-6: %s beside %s', (a, b, sign) => {
    expect(Math.sign(compareVersions(a, b))).toBe(sign);
    expect(Math.sign(compareVersions(b, a))).toBe(sign === 0 ? 0 : -sign);
  });

  test('PR-6: the greatest is found in any order, and the next comes after it', () => {
    const part = fc.nat(9999);
    const version = fc.tuple(part, part, part).map((parts) => parts.join('.'));
    fc.assert(
      fc.property(fc.array(version, { minLength: 1 }), (versions) => {
        const greatest = greatestVersion(versions) ?? '';
        for (const v of versions) expect(compareVersions(v, greatest)).toBeLessThanOrEqual(0);
        expect(compareVersions(nextVersion(greatest), greatest)).toBeGreaterThan(0);
      }),
    );
    expect(greatestVersion([])).toBeUndefined();
    expect(nextVersion('1.0.7')).toBe('1.1.0');
    expect(nextVersion('1.9999.7')).toBe('2.0.0');
  });
});
