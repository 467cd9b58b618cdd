import { describe, expect, test } from 'vitest';
import { kendallPermutation } from '../../../server/src/consensus/kendall-permutation.ts';
import { kendallW } from '../../../server/src/consensus/kendall-w.ts';
import { midranks } from '../../../server/src/consensus/midranks.ts';
import { seededRandom } from '../../../server/src/rehearse/random.ts';
import { must } from '../../support/expect-figure.ts';

test.each([
  [
    [3, 1, 2],
    [3, 1, 2],
  ],
  [
    [5, 5, 1],
    [2.5, 2.5, 1],
  ],
  [
    [0, 0, 0, 0],
    [2.5, 2.5, 2.5, 2.5],
  ],
  [[], []],
])('ranks of %j', (values, ranks) => {
  expect(midranks(values)).toEqual(ranks);
});

describe("Kendall's W", () => {
  test('a reviewer two points severe throughout leaves it at 1', () => {
    const found = must(
      kendallW([
        [0, 2],
        [1, 3],
        [3, 5],
      ]),
    );
    expect([found.w, found.meanSpearman]).toEqual([1, 1]);
  });
  test.each([
    ['one reviewer', [[1], [2]], 'fewer than two reviewers'],
    [
      'one complete task',
      [
        [1, 2],
        [undefined, 2],
      ],
      'fewer than two tasks rated by every reviewer',
    ],
    [
      'constant reviewers',
      [
        [1, 2],
        [1, 2],
      ],
      'no reviewer told the tasks apart',
    ],
  ])('%s: undefined', (_, cells, why) => {
    expect(kendallW(cells)).toEqual({ ok: false, why });
    expect(kendallPermutation(cells, Math.random).ok).toBe(false);
  });
  test('a constant reviewer adds ties only', () => {
    const found = must(
      kendallW([
        [0, 2, 3],
        [1, 2, 4],
        [3, 2, 5],
      ]),
    );
    expect(found.ties).toBe(24);
    // S of two equal orders and a constant: rank sums 4, 6, 8; W = 12 * 8 / (9 * 24 - 3 * 24).
    expect(found.w).toBeCloseTo((12 * 8) / (9 * 24 - 3 * 24), 12);
  });
});

describe('permutation p', () => {
  const orders = [
    [1, 2, 3],
    [1, 3, 2],
    [2, 1, 3],
    [2, 3, 1],
    [3, 1, 2],
    [3, 2, 1],
  ];
  const cells = [
    [1, 1, 2],
    [2, 3, 1],
    [3, 2, 3],
  ];

  /** Every arrangement of three reviewers' ranks of three tasks: 216 of them, counted out. */
  const exact = (): number => {
    const w = must(kendallW(cells)).w;
    const all = orders.flatMap((a) => orders.flatMap((b) => orders.map((c) => [a, b, c])));
    const reached = all.filter((ranks) => {
      const rows = [0, 1, 2].map((i) => ranks.map((r) => r[i]));
      return must(kendallW(rows)).w >= w - 1e-12;
    });
    return reached.length / all.length;
  };

  test('comes near the exact one', () => {
    const seed = 20260101;
    const random = seededRandom(seed);
    const { p, draws } = must(kendallPermutation(cells, random));
    const error = Math.sqrt((exact() * (1 - exact())) / draws);
    expect(Math.abs(p - exact()), `seed ${String(seed)}`).toBeLessThan(4 * error);
  });
  test('three reviewers in full agreement on three tasks: 6 of 216', () => {
    const random = seededRandom(3);
    const { p } = must(
      kendallPermutation(
        [
          [1, 1, 1],
          [2, 2, 2],
          [3, 3, 3],
        ],
        random,
        20_000,
      ),
    );
    expect(Math.abs(p - 6 / 216)).toBeLessThan(0.005);
  });
  test('is never 0', () => {
    const rows = Array.from({ length: 12 }, (_, i) => [i, i, i, i, i]);
    const random = seededRandom(3);
    expect(must(kendallPermutation(rows, random, 200)).p).toBeCloseTo(1 / 201, 12);
  });
});
