import { describe, expect, test } from 'vitest';
import { composite, type CompositeSection } from '../../../server/src/consensus/composite.ts';
import { expectFigure } from '../../support/expect-figure.ts';

const sections: CompositeSection[] = [
  {
    id: 'airway',
    weight: 3,
    tasks: [
      { id: 'a1', weight: 1 },
      { id: 'a2', weight: 1 },
    ],
  },
  {
    id: 'spine',
    weight: 1,
    tasks: [
      { id: 's1', weight: 2 },
      { id: 's2', weight: 1 },
    ],
  },
  { id: 'chest', weight: 4, tasks: [{ id: 'c1', weight: 1 }] },
];
const of = (values: Record<string, number>) => composite(sections, (task) => values[task]);

describe('CO-2: by hand, C = sum(w m) / sum(w)', () => {
  test('everything rated', () => {
    // airway (2 + 3) / 2 = 2.5; spine (2 * 4 + 1 * 1) / 3 = 3; chest 0.5.
    // (3 * 2.5 + 1 * 3 + 4 * 0.5) / 8 = 12.5 / 8 = 1.5625.
    const found = of({ a1: 2, a2: 3, s1: 4, s2: 1, c1: 0.5 });
    expectFigure(found.value, 1.5625, 'composite', 1e-14);
    expect(found.weightUsed).toBe(1);
    expect(found.provisional).toBe(false);
    expect(found.sections.map((s) => s.weight)).toEqual([3 / 8, 1 / 8, 4 / 8]);
  });
  test('an absent task leaves its section to the others; it never counts as 0', () => {
    // airway 3; spine 4 (its heavy task alone); chest 1: (9 + 4 + 4) / 8.
    const found = of({ a2: 3, s1: 4, c1: 1 });
    expectFigure(found.value, 17 / 8, 'composite', 1e-14);
    expect(found.sections.map((s) => [s.rated, s.of])).toEqual([
      [1, 2],
      [1, 2],
      [1, 1],
    ]);
  });
  test('a section without a rating drops out and the weights of the others are renormalised', () => {
    // airway 2, chest 1: (3 * 2 + 4 * 1) / 7.
    const found = of({ a1: 2, c1: 1 });
    expectFigure(found.value, 10 / 7, 'composite', 1e-14);
    expect(found.weightUsed).toBe(7 / 8);
    expect(found.sections.map((s) => s.weight)).toEqual([3 / 7, 0, 4 / 7]);
    expect(found.sections[1]?.value).toEqual({ ok: false, why: 'no rated task' });
  });
});

describe('CO-2: provisional below 60 % of the weight', () => {
  const half = (used: number): CompositeSection[] => [
    { id: 'in', weight: used, tasks: [{ id: 'x', weight: 1 }] },
    { id: 'out', weight: 100 - used, tasks: [{ id: 'y', weight: 1 }] },
  ];
  test.each([
    [59, true],
    [60, false],
    [100, false],
  ])('%i %% used: %s', (used, provisional) => {
    const found = composite(half(used), (task) => (task === 'x' ? 2 : undefined));
    expect(found.provisional).toBe(provisional);
    expectFigure(found.value, 2, 'composite');
  });
});

describe('no composite', () => {
  const why = 'no rated task carries weight';
  test('nothing rated', () => {
    expect(of({}).value).toEqual({ ok: false, why });
    expect(of({}).provisional).toBe(true);
    expect(composite([], () => 1).value).toEqual({ ok: false, why });
  });
  test('only tasks and sections without weight', () => {
    const none: CompositeSection[] = [
      { id: 'free', weight: 1, tasks: [{ id: 'x', weight: 0 }] },
      { id: 'idle', weight: 0, tasks: [{ id: 'y', weight: 1 }] },
    ];
    expect(composite(none, () => 3).value).toEqual({ ok: false, why });
  });
});
