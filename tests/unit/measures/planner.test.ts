import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { seededChance } from '../../../server/src/analysis/seeded-chance.ts';
import { assignOrders } from '../../../server/src/measures/assign-orders.ts';
import { dayPlan, DEFAULT_RULES, type PlannedTask } from '../../../server/src/measures/day-plan.ts';
import {
  threeFacetDependability,
  type ThreeFacetComponents,
} from '../../../server/src/consensus/three-facet-study.ts';
import { piecesForCorrelation, studySizes } from '../../../server/src/measures/study-size.ts';
import { equipmentList } from '../../../server/src/measures/equipment-list.ts';
import { williamsSquare } from '../../../server/src/measures/williams.ts';
import { must } from '../../support/expect-figure.ts';

const counted = <T>(values: readonly T[]): number[] => {
  const counts = new Map<T, number>();
  for (const v of values) counts.set(v, (counts.get(v) ?? 0) + 1);
  return [...counts.values()];
};

describe('Williams orders', () => {
  test.each([2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12])(
    '%i conditions: every place and every neighbour equally often',
    (k) => {
      const square = williamsSquare(k);
      const times = k % 2 === 0 ? 1 : 2;
      expect(square).toHaveLength(k * times);
      for (const row of square) expect(new Set(row).size).toBe(k);
      const places = square.flatMap((row) => row.map((c, i) => `${String(c)} at ${String(i)}`));
      expect(counted(places)).toEqual(Array.from({ length: k * k }, () => times));
      const neighbours = square.flatMap((row) =>
        row.slice(1).map((c, i) => `${String(row[i])}, ${String(c)}`),
      );
      expect(counted(neighbours)).toEqual(Array.from({ length: k * (k - 1) }, () => times));
    },
  );

  test('fewer than two conditions have no order', () => {
    for (const k of [1, 0, 2.5]) expect(() => williamsSquare(k)).toThrow(RangeError);
  });

  const operators = ['a', 'b', 'c', 'd', 'e', 'f'];
  const conditions = ['with', 'without', 'hidden fault'];

  test('ME-7: the same seed gives the same orders, in whatever order people joined', () => {
    const of = (seed: number, who = operators) =>
      assignOrders(who, conditions, seededChance(seed).stream());
    expect(of(3)).toEqual(of(3, operators.toReversed()));
    expect([4, 5, 6].map((seed) => of(seed).orders)).not.toContainEqual(of(3).orders);
    expect(of(3)).toMatchObject({ balanced: true, note: undefined });
    expect(counted(of(3).orders.map((o) => o.row))).toEqual([1, 1, 1, 1, 1, 1]);
    expect(of(3).orders.every((o) => new Set(o.conditions).size === 3)).toBe(true);
  });

  test('an unbalanced number of operators is said to be so; doubles are refused', () => {
    const found = assignOrders(operators.slice(0, 4), conditions, () => 0.999);
    expect(found).toMatchObject({ balanced: false, note: expect.stringMatching(/6 operators/u) });
    expect(new Set(found.orders.map((o) => o.row)).size).toBe(4);
    expect(() => assignOrders(['a', 'a'], conditions, () => 0)).toThrow(/operator stands twice/u);
    expect(() => assignOrders(['a'], ['x', 'x'], () => 0)).toThrow(/condition stands twice/u);
  });

  test('every row comes equally often among those drawn first (seed 8)', () => {
    const next = seededChance(8).stream();
    const rows = Array.from(
      { length: 6000 },
      () => assignOrders(['a'], conditions, next).orders[0]?.row,
    );
    for (const times of counted(rows)) {
      expect(Math.abs(times - 1000), 'seed 8').toBeLessThan(4 * Math.sqrt((6000 * 5) / 36));
    }
    expect(counted(rows)).toHaveLength(6);
  });
});

describe('the size of a study', () => {
  const phiOf = (v: ThreeFacetComponents, reviewers: number, trials: number): number =>
    threeFacetDependability(v, reviewers, trials)?.phi ?? 0;
  const variances: ThreeFacetComponents = {
    piece: 1,
    reviewer: 0.2,
    trial: 0.05,
    pieceReviewer: 0.6,
    pieceTrial: 0.1,
    reviewerTrial: 0,
    residual: 0.3,
  };

  test('by hand: four reviewers and three trials', () => {
    expect(phiOf(variances, 4, 3)).toBeCloseTo(1 / (1 + 0.8 / 4 + 0.15 / 3 + 0.3 / 12), 12);
  });

  test('the fewest reviewers for each number of trials, none fewer', () => {
    const sizes = must(studySizes(variances, 0.8, 5));
    // One trial leaves 0.15 of 0.25 allowed: 1.1 / n within 0.1, so 11 reviewers.
    expect(sizes.map((s) => [s.trials, s.reviewers])).toEqual([
      [1, 11],
      [2, 6],
      [3, 5],
      [4, 5],
      [5, 4],
    ]);
    for (const s of sizes) {
      expect(s.phi).toBeGreaterThanOrEqual(0.8);
      expect(phiOf(variances, s.reviewers - 1, s.trials)).toBeLessThan(0.8);
    }
  });

  test('what cannot be reached says why', () => {
    expect(studySizes({ ...variances, piece: 0 }, 0.8)).toMatchObject({ ok: false });
    expect(studySizes({ ...variances, trial: 99 }, 0.8)).toMatchObject({
      ok: false,
      why: expect.stringMatching(/does not average out/u),
    });
    expect(must(studySizes({ ...variances, reviewer: -0.4 }, 0.5, 1))[0]?.reviewers).toBe(2);
    expect(() => studySizes(variances, 1)).toThrow(RangeError);
    expect(() => piecesForCorrelation(1, 2, 0.2)).toThrow(RangeError);
  });
});

describe('the plan of a day', () => {
  const task = (id: string, more: Partial<PlannedTask> = {}): PlannedTask => ({
    id,
    trialMinutes: 2,
    resetMinutes: 1,
    tiring: false,
    ...more,
  });
  const people = (n: number) =>
    Array.from({ length: n }, (_, i) => ({
      id: `operator ${String(i)}`,
      conditions: i % 2 === 0 ? ['with', 'without'] : ['without', 'with'],
    }));

  test('by hand: one tiring task, one operator: rests are waited for', () => {
    const plan = must(dayPlan([task('press', { tiring: true })], people(1), 1));
    expect(plan.slots.map((s) => [s.from, s.to, s.kind])).toEqual([
      [0, 3, 'practice'],
      [3, 5, 'rest'],
      [5, 8, 'trial'],
      [8, 10, 'rest'],
      [10, 13, 'trial'],
    ]);
    expect(plan).toMatchObject({ minutes: 13, trials: 2 });
    expect(plan.notes.join(' ')).toMatch(/One operator alone/u);
  });

  test('with others to go first nobody waits', () => {
    const plan = must(dayPlan([task('press', { tiring: true })], people(3), 3));
    expect(plan.slots.filter((s) => s.kind === 'rest')).toEqual([]);
    expect(plan.minutes).toBe(3 * (1 + 6) * 3);
  });

  test('ME-8: rests, breaks and practice hold for any day', () => {
    const tasks = fc.array(
      fc.record({
        id: fc.uuid(),
        trialMinutes: fc.integer({ min: 1, max: 6 }),
        resetMinutes: fc.integer({ min: 0, max: 4 }),
        tiring: fc.boolean(),
      }),
      { minLength: 1, maxLength: 4 },
    );
    const sizes = fc.tuple(tasks, fc.integer({ min: 1, max: 4 }), fc.integer({ min: 1, max: 3 }));
    fc.assert(
      fc.property(
        sizes,
        fc.integer({ min: 20, max: 60 }),
        ([of, operators, trials], workMinutes) => {
          const rules = { ...DEFAULT_RULES, workMinutes };
          const { slots } = must(dayPlan(of, people(operators), trials, rules));
          const byId = new Map(of.map((t) => [t.id, t]));
          const free = new Map<string | null, number>();
          let worked = 0;
          for (const [i, s] of slots.entries()) {
            expect(s.from).toBe(slots[i - 1]?.to ?? 0);
            if (s.kind === 'break') worked = 0;
            else if (s.kind !== 'rest') worked += s.to - s.from;
            expect(worked).toBeLessThanOrEqual(workMinutes);
            const own = byId.get(s.task ?? '');
            if (!own?.tiring) continue;
            expect(s.from).toBeGreaterThanOrEqual(free.get(s.operator) ?? 0);
            free.set(s.operator, s.from + own.trialMinutes + rules.restMinutes);
            // A rest in front of a tiring trial may lengthen a stretch, but only a rest.
            expect(worked).toBeLessThanOrEqual(workMinutes + rules.restMinutes);
          }
          const order = slots.filter((s) => s.task === of[0]?.id && s.operator === 'operator 0');
          expect(order.map((s) => [s.kind, s.condition])).toEqual([
            ['practice', null],
            ...['with', 'without'].flatMap((c) =>
              Array.from({ length: trials }, () => ['trial', c]),
            ),
          ]);
          const done = slots.filter((s) => s.kind === 'trial').length;
          expect(done).toBe(of.length * operators * 2 * trials);
        },
      ),
      { seed: 81 },
    );
  });

  test('a day that is too long, and one that cannot be planned, say so', () => {
    const long = must(dayPlan([task('roll', { trialMinutes: 30 })], people(4), 3));
    expect(long.notes.join(' ')).toMatch(/It takes 3 days/u);
    expect(dayPlan([], people(1), 1).ok).toBe(false);
    expect(dayPlan([task('roll', { trialMinutes: 0 })], people(1), 1)).toEqual({
      ok: false,
      why: 'the times of roll must be above zero',
    });
  });
});

test('the equipment of a day names each tool once, with the tasks that use it', () => {
  const of = (id: string, ...tools: string[]) => ({ id, title: `Task ${id}`, tools });
  const protocol = {
    tools: [
      { id: 'shears', title: 'Trauma shears' },
      { id: 'driver', title: 'Powered screwdriver' },
    ],
    sections: [{ tasks: [of('a', 'driver', 'key'), of('b', 'driver'), of('c', 'shears')] }],
  } as unknown as Parameters<typeof equipmentList>[0];
  expect(equipmentList(protocol, new Set(['a', 'b']))).toEqual([
    { title: 'Powered screwdriver', tasks: ['Task a', 'Task b'] },
    { title: 'key', tasks: ['Task a'] },
  ]);
});
