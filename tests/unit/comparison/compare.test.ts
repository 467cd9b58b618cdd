import { describe, expect, test } from 'vitest';
import { compare } from '../../../server/src/comparison/compare.ts';
import { allPairs, comparePairs } from '../../../server/src/comparison/pairs.ts';
import { classesOf, poolClass, standingIn } from '../../../server/src/comparison/pooled.ts';
import { tQuantile } from '../../../server/src/consensus/distributions.ts';
import { holm } from '../../../server/src/consensus/holm.ts';
import { piece, SUPERSEDED, tasksOf, WITHDRAWN } from '../../support/piece.ts';
import { reference } from '../../support/reference.ts';

/** A case of the comparisons that R computed. */
interface ComparisonCase {
  id: string;
  input: { evalA: number[]; evalB: number[]; catalogue: number[]; x: number };
  expected: {
    meanDiff: number;
    t: number;
    ci95: [number, number];
    pairedProbSuperiority: number;
    percentileStanding: number;
  };
}

/** A case of the pooled means that metafor computed. */
interface PooledCase {
  id: string;
  input: { y: number[]; v: number[] };
  expected: {
    REML: {
      mu: number;
      tau2: number;
      knha: { lo: number; hi: number };
      blup: { pred: number[]; se: number[] };
      pi_z: [number, number];
    };
  };
}

const only = <T>(list: readonly T[]): T => {
  const [first] = list;
  if (first === undefined || list.length !== 1) throw new Error(`${String(list.length)} found`);
  return first;
};

describe('differences over common tasks', () => {
  test.each(reference<{ cases: ComparisonCase[] }>('comparison').cases)(
    '$id: mean, interval and superiority are those of R',
    ({ input, expected }) => {
      const pair = only(
        comparePairs([
          [
            piece('a', { tasks: tasksOf(input.evalA) }),
            piece('b', { tasks: tasksOf(input.evalB) }),
          ],
        ]),
      );
      if (!pair.comparable) throw new Error(pair.why);
      expect(pair.tasks).toBe(input.evalA.length);
      expect(pair.mean).toBeCloseTo(expected.meanDiff, 12);
      expect(pair.lower).toBeCloseTo(expected.ci95[0], 10);
      expect(pair.upper).toBeCloseTo(expected.ci95[1], 10);
      expect(pair.superiority).toBeCloseTo(expected.pairedProbSuperiority, 12);
      // |t| beyond its quantile and the interval off zero say the same.
      const beyond = Math.abs(expected.t) > tQuantile(0.975, pair.tasks - 1);
      expect(pair.p < 0.05).toBe(beyond);
    },
  );

  test('only tasks that both settled are paired, whatever stands around them', () => {
    const a = piece('a', {
      tasks: [
        { task: 'x', title: 'X', value: 3 },
        { task: 'own', title: 'Own', value: 5 },
        { task: 'y', title: 'Y', value: 1 },
      ],
    });
    const b = piece('b', {
      tasks: [
        { task: 'y', title: 'Y', value: 0 },
        { task: 'x', title: 'X', value: 1 },
      ],
    });
    expect(only(comparePairs([[a, b]]))).toMatchObject({ comparable: true, tasks: 2, mean: 1.5 });
  });

  test('CA-3: two protocol versions are never paired, nor two contents of one version; a withdrawn record neither', () => {
    const tasks = tasksOf([1, 2, 3, 0]);
    const a = piece('a', { tasks });
    const others = [
      piece('b', { tasks, version: '1.1.0' }),
      piece('c', { tasks, protocolHash: 'another content' }),
      piece('d', { tasks, state: WITHDRAWN }),
      piece('e', { tasks: tasks.slice(0, 1) }),
    ];
    const pairs = comparePairs(others.map((other) => [a, other] as const));
    expect(pairs.map((p) => p.comparable)).toEqual([false, false, false, false]);
    for (const p of pairs) expect(p.comparable ? '' : p.why).toMatch(/^Not comparable: /u);
  });

  test('equal values on every task: no difference, p 1; the same difference on every task: no interval, and why', () => {
    const a = piece('a', { tasks: tasksOf([1, 2, 3]) });
    expect(only(comparePairs([[a, piece('b', { tasks: tasksOf([1, 2, 3]) })]]))).toMatchObject({
      comparable: true,
      mean: 0,
      p: 1,
      superiority: 0.5,
    });
    expect(only(comparePairs([[a, piece('b', { tasks: tasksOf([0, 1, 2]) })]]))).toMatchObject({
      comparable: false,
    });
  });

  test('CA-6: the p of each pair is corrected for every pair asked for', () => {
    const pieces = [
      piece('a', { tasks: tasksOf([0, 1, 0, 1, 2, 0, 1, 0]) }),
      piece('b', { tasks: tasksOf([1, 2, 1, 1, 3, 1, 3, 0]) }),
      piece('c', { tasks: tasksOf([0, 1, 1, 1, 2, 1, 1, 0]) }),
    ];
    const pairs = comparePairs(allPairs(pieces)).map((p) => (p.comparable ? p : undefined));
    expect(pairs.map((p) => p?.holm)).toEqual(holm(pairs.map((p) => p?.p ?? Number.NaN)));
    expect(Math.min(...pairs.map((p) => (p?.holm ?? 1) - (p?.p ?? 1)))).toBeGreaterThanOrEqual(0);
    expect(pairs[0]?.holm).toBeCloseTo(3 * (pairs[0]?.p ?? 0), 12);
  });

  test('Holm, by R 4.2.2 p.adjust(method = "holm")', () => {
    const found = holm([0.01, 0.04, 0.03, 0.005]);
    [0.03, 0.06, 0.06, 0.02].forEach((v, i) => expect(found[i]).toBeCloseTo(v, 12));
    const more = holm([0.0004, 0.0004, 0.2, 0.9, 0.049, 0.012]);
    [0.0024, 0.0024, 0.4, 0.9, 0.147, 0.048].forEach((v, i) => expect(more[i]).toBeCloseTo(v, 12));
  });

  test('reviewers who rated both are paired by seat; other panels have none', () => {
    const seats = (values: number[], from = 0) =>
      values.map((value, i) => ({ seat: `st_${String(i + from)}`, value }));
    const a = piece('a', { tasks: tasksOf([1, 2, 1]), byReviewer: seats([2, 3, 4]) });
    const b = piece('b', { tasks: tasksOf([0, 2, 1]), byReviewer: seats([1, 1, 3]) });
    const far = piece('c', { tasks: tasksOf([0, 2, 1]), byReviewer: seats([1, 1, 3], 9) });
    const [same, other] = comparePairs([
      [a, b],
      [a, far],
    ]);
    // Differences 1, 2, 1: mean 4/3, SD 0.57735; t(0.975, 2) = 4.30265.
    const half = (4.30265272974946 * Math.sqrt(1 / 3)) / Math.sqrt(3);
    if (!same?.comparable || !other?.comparable) throw new Error('they are comparable');
    expect(same.sameReviewers?.n).toBe(3);
    expect(same.sameReviewers?.lower).toBeCloseTo(4 / 3 - half, 10);
    expect(other.sameReviewers).toBeNull();
  });
});

/** A piece whose record carries estimate and variance as a t interval over `k` reviewers. */
const weighed = (id: string, y: number, v: number, more = {}, k = 5) => {
  const half = tQuantile(0.975, k - 1) * Math.sqrt(v);
  return piece(id, {
    means: { value: String(y) },
    interval: { lower: String(y - half), upper: String(y + half) },
    byReviewer: Array.from({ length: k }, (_, i) => ({ seat: `st_${String(i)}`, value: y })),
    ...more,
  });
};

describe('the class of a piece', () => {
  test.each(
    reference<{ cases: PooledCase[] }>('random-effects').cases.filter((c) => c.input.y.length > 2),
  )(
    '$id: pooled mean, limits and drawn values are those of metafor (REML, Knapp-Hartung)',
    ({ input, expected }) => {
      const members = input.y.map((y: number, i: number) =>
        weighed(`e${String(i)}`, y, input.v[i] ?? 0, {}, 3 + i),
      );
      const found = poolClass(members);
      const pooled = found?.summary.pooled;
      if (!pooled || 'why' in pooled) throw new Error('not pooled');
      const { REML } = expected;
      expect(pooled.mean).toBeCloseTo(REML.mu, 7);
      expect(pooled.lower).toBeCloseTo(REML.knha.lo, 7);
      expect(pooled.upper).toBeCloseTo(REML.knha.hi, 7);
      expect(pooled.tau).toBeCloseTo(Math.sqrt(REML.tau2), 6);
      if (members.length >= 5) {
        expect(pooled.prediction?.lower).toBeCloseTo(REML.pi_z[0], 7);
        expect(pooled.prediction?.upper).toBeCloseTo(REML.pi_z[1], 7);
      } else expect(pooled.prediction).toBeNull();
      REML.blup.pred.forEach((value: number, i: number) =>
        expect(found?.shrunken.get(`e${String(i)}`)?.value).toBeCloseTo(value, 6),
      );
      REML.blup.se.forEach((value: number, i: number) =>
        expect(found?.shrunken.get(`e${String(i)}`)?.se).toBeCloseTo(value, 6),
      );
    },
  );

  test('CA-4: only current evaluations of one kind and version are in a class; under three are not pooled, a prediction needs five', () => {
    const all = [
      weighed('a', 1, 0.04),
      weighed('b', 2, 0.04),
      weighed('old', 4, 0.04, { state: SUPERSEDED }),
      weighed('gone', 4, 0.04, { state: WITHDRAWN }),
      weighed('pads', 4, 0.04, { specimen: { kind: 'pads' } }),
      weighed('next', 4, 0.04, { version: '2.0.0' }),
    ];
    const ids = [...classesOf(all).values()].map((c) => c.map((p) => p.evaluation));
    expect(ids).toEqual([['a', 'b'], ['pads'], ['next']]);
    const two = poolClass(all.slice(0, 2));
    expect(two?.summary).toMatchObject({ n: 2, leftOut: 0, pooled: { why: expect.any(String) } });
    const three = poolClass([...all.slice(0, 2), weighed('c', 3, 0.04), piece('bare')]);
    expect(three?.summary).toMatchObject({ n: 3, leftOut: 1, pooled: { prediction: null } });
    const five = poolClass(['a', 'b', 'c', 'd', 'e'].map((id, i) => weighed(id, i, 0.04)));
    expect(five?.summary.pooled).toMatchObject({ prediction: { lower: expect.any(Number) } });
  });

  test.each(reference<{ cases: ComparisonCase[] }>('comparison').cases)(
    'CA-5: $id: standing is that of R, and is shown only among ten others or more',
    ({ input, expected }) => {
      const own = piece('own', { composite: { value: String(input.x) } });
      const others = input.catalogue.map((x: number, i: number) =>
        piece(`o${String(i)}`, { composite: { value: String(x) } }),
      );
      const found = standingIn(own, [own, ...others]);
      if (others.length >= 10) {
        if ('why' in found) throw new Error(found.why);
        expect(found.value).toBeCloseTo(expected.percentileStanding, 10);
        expect(found.others).toBe(others.length);
      } else {
        expect(found).toEqual({ why: expect.stringContaining(`Only ${String(others.length)}`) });
      }
    },
  );
});

describe('a comparison', () => {
  test('re-tests of one model are a series, oldest first, across versions; other models are not', () => {
    const tasks = tasksOf([1, 2, 3, 1]);
    const heron = { maker: 'Larkmoor', model: 'Heron 1' };
    const first = piece('d2', { specimen: heron, lockedAt: '2024-01-01T00:00:00.000Z', tasks });
    const later = piece('d2b', {
      specimen: { ...heron, maker: 'LARKMOOR ' },
      lockedAt: '2025-01-01T00:00:00.000Z',
      tasks: tasksOf([0, 1, 1, 1]),
    });
    const last = piece('d2c', {
      specimen: heron,
      version: '2.0.0',
      lockedAt: '2026-01-01T00:00:00.000Z',
      tasks,
    });
    const found = compare([first], [last, later, first, piece('else')], () => []);
    expect(only(found.series).rows.map((r) => r.evaluation)).toEqual(['d2', 'd2b', 'd2c']);
    expect(only(found.series).steps).toMatchObject([
      { a: 'd2b', b: 'd2', comparable: true, mean: -1 },
      { a: 'd2c', b: 'd2b', comparable: false },
    ]);
  });

  test('the worst tasks lead with those where care was blocked, then by distance; the good end is not among them', () => {
    const a = piece('a', { tasks: tasksOf([0, 2, 4, 1, 5, 3, 1]) });
    const { figures } = compare([a], [a], () => ['t3']);
    expect(figures.get('a')?.worst.map((t) => [t.task, t.blocked])).toEqual([
      ['t3', true],
      ['t4', false],
      ['t2', false],
      ['t5', false],
      ['t1', false],
    ]);
  });

  test('on a scale where higher is better the worst tasks are the low ones', () => {
    const scale = { min: 1, max: 9, better: 'higher' as const, datum: null };
    const a = piece('a', { tasks: tasksOf([9, 2, 5]), scale });
    const { figures } = compare([a], [a], () => []);
    expect(figures.get('a')?.worst.map((t) => t.value)).toEqual([2, 5]);
  });

  test('says how many of the pairs would look different by chance', () => {
    const pieces = ['a', 'b', 'c', 'd'].map((id, i) =>
      piece(id, { tasks: tasksOf([i, 1, 2, 0, i]) }),
    );
    const next = piece('next', { version: '2.0.0', tasks: tasksOf([1, 2]) });
    const { multiplicity, pairs } = compare([...pieces, next], pieces, () => []);
    expect(pairs).toHaveLength(10);
    expect(multiplicity).toEqual({ pairs: 6, byChance: expect.closeTo(0.3, 12) });
  });
});
