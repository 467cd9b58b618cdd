import { describe, expect, test } from 'vitest';
import { alphaInterval } from '../../../server/src/consensus/alpha-interval.ts';
import { krippendorffAlpha } from '../../../server/src/consensus/krippendorff-alpha.ts';
import { seededRandom } from '../../../server/src/rehearse/random.ts';
import { expectFigure, must } from '../../support/expect-figure.ts';

describe('alpha', () => {
  test('full agreement over tasks that differ is 1', () => {
    expectFigure(
      krippendorffAlpha(
        [
          [0, 0],
          [3, 3],
          [5, 5],
        ],
        'ordinal',
      ),
      1,
      'alpha',
    );
  });
  test('opposite ratings fall below 0', () => {
    expect(
      must(
        krippendorffAlpha(
          [
            [0, 5],
            [5, 0],
            [0, 5],
          ],
          'ordinal',
        ),
      ),
    ).toBeLessThan(0);
  });
  test('chance level is 0 without a trace of rounding', () => {
    // Found by the property run of seed 3: rounding left -2.2e-16.
    const cells = [
      [1, 1, 1, 1, undefined],
      [undefined, 1, undefined, undefined, 2],
      [1, 1, 2, undefined, 2],
    ];
    expect(krippendorffAlpha(cells, 'ordinal')).toEqual({ ok: true, value: 0 });
  });
  test.each([
    ['no table', [], 'no task with two ratings'],
    [
      'single ratings only',
      [
        [1, undefined],
        [undefined, 4],
      ],
      'no task with two ratings',
    ],
    [
      'one task',
      [
        [1, 4],
        [2, undefined],
      ],
      'one task alone says nothing about agreement over tasks',
    ],
    [
      'one value',
      [
        [2, 2],
        [2, 2],
      ],
      'no variation: every rating is the same',
    ],
  ])('%s: undefined, and says why', (_, cells, why) => {
    expect(krippendorffAlpha(cells, 'ordinal')).toEqual({ ok: false, why });
  });
  test('a task rated once drops out', () => {
    const pairs = [
      [1, 2],
      [4, 4],
      [0, 1],
    ];
    expectFigure(
      krippendorffAlpha([...pairs, [5, undefined]], 'ordinal'),
      must(krippendorffAlpha(pairs, 'ordinal')),
      'alpha',
    );
  });
  test('the ordinal metric looks at order alone', () => {
    const stretched = [
      [0, 10],
      [100, 100],
      [10, 0],
      [1000, 100],
    ];
    const close = [
      [0, 1],
      [2, 2],
      [1, 0],
      [3, 2],
    ];
    expectFigure(
      krippendorffAlpha(stretched, 'ordinal'),
      must(krippendorffAlpha(close, 'ordinal')),
      'alpha',
    );
  });
});

describe('interval of alpha', () => {
  const cells = Array.from({ length: 10 }, (_, i) => [i % 6, (i + (i % 3)) % 6, i % 6]);

  test('the same random numbers give the same interval, and it holds alpha', () => {
    const first = must(alphaInterval(cells, 'ordinal', seededRandom(7)));
    expect(must(alphaInterval(cells, 'ordinal', seededRandom(7)))).toEqual(first);
    const alpha = must(krippendorffAlpha(cells, 'ordinal'));
    expect(first.lower).toBeLessThan(alpha);
    expect(first.upper).toBeGreaterThan(alpha);
    expect(first.replicates).toBe(2000);
  });
  test('drawing every task once gives alpha at both ends', () => {
    let draw = 0;
    const inOrder = (): number => (draw++ % cells.length) / cells.length;
    const found = must(alphaInterval(cells, 'ordinal', inOrder));
    const alpha = must(krippendorffAlpha(cells, 'ordinal'));
    expect([found.lower, found.upper, found.discarded]).toEqual([alpha, alpha, 0]);
  });
  test('replicates without variation are left out and counted', () => {
    const flat = Array.from({ length: 8 }, (_, i) => (i === 0 ? [1, 2] : [3, 3]));
    const found = must(alphaInterval(flat, 'ordinal', seededRandom(11)));
    // The one task that varies is missed with probability (7/8)^8 = 0.344.
    expect(found.discarded / found.replicates).toBeGreaterThan(0.3);
    expect(found.discarded / found.replicates).toBeLessThan(0.39);
  });
  test('not below eight tasks with two ratings', () => {
    const seven = [...cells.slice(0, 7), [1, undefined, undefined]];
    expect(alphaInterval(seven, 'ordinal', seededRandom(1))).toEqual({
      ok: false,
      why: 'fewer than 8 tasks with two ratings',
    });
  });
  test('no variation anywhere: undefined', () => {
    const same = Array.from({ length: 8 }, () => [2, 2]);
    expect(alphaInterval(same, 'ordinal', seededRandom(1)).ok).toBe(false);
  });
  test('not below 2000 replicates', () => {
    expect(() => alphaInterval(cells, 'ordinal', seededRandom(1), 1999)).toThrow(RangeError);
  });
});
