import fc from 'fast-check';
import { expect, test } from 'vitest';
import { pairAgreement } from '../../../server/src/consensus/pair-agreement.ts';
import { must } from '../../support/expect-figure.ts';
import { runs } from '../../support/rating-tables.ts';

test('pairs counted in order of size are the pairs counted one by one', () => {
  const half = fc.integer({ min: 0, max: 20 }).map((x) => x / 2);
  const row = fc.array(half, { minLength: 2, maxLength: 20 });
  fc.assert(
    fc.property(row, fc.constantFrom(0, 0.5, 1, 2, 10), (ratings, tolerance) => {
      let agreeing = 0;
      let pairs = 0;
      for (const [i, a] of ratings.entries()) {
        for (const b of ratings.slice(i + 1)) {
          pairs += 1;
          if (Math.abs(a - b) <= tolerance) agreeing += 1;
        }
      }
      const found = must(pairAgreement([ratings], tolerance));
      expect(found.pairs).toBe(pairs);
      expect(found.pooled).toBe(agreeing / pairs);
    }),
    runs(),
  );
});
