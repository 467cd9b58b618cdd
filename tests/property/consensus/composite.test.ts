import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { composite, type CompositeSection } from '../../../server/src/consensus/composite.ts';
import { compositeOfMeans, meanWithout } from '../../../server/src/consensus/composite-of-means.ts';
import { verdict } from '../../../server/src/consensus/gate.ts';
import { mean } from '../../../server/src/consensus/mean.ts';
import { present } from '../../../server/src/consensus/table.ts';
import { tInterval } from '../../../server/src/consensus/t-interval.ts';
import { must } from '../../support/expect-figure.ts';
import { near } from '../../support/reference.ts';
import { runs, tables } from '../../support/rating-tables.ts';

/** Sections of one to three tasks with weights, and a settled value (half points) for most tasks. */
const settled = fc
  .array(
    fc.record({
      weight: fc.integer({ min: 1, max: 20 }),
      tasks: fc.array(
        fc.record({
          weight: fc.integer({ min: 1, max: 5 }),
          value: fc.option(
            fc.integer({ min: 0, max: 10 }).map((x) => x / 2),
            { nil: undefined },
          ),
        }),
        { minLength: 1, maxLength: 3 },
      ),
    }),
    { minLength: 1, maxLength: 6 },
  )
  .map((list) => {
    const values = new Map<string, number>();
    const sections = list.map((s, i): CompositeSection => {
      const tasks = s.tasks.map((t, j) => {
        const id = `s${String(i)}-t${String(j)}`;
        if (t.value !== undefined) values.set(id, t.value);
        return { id, weight: t.weight };
      });
      return { id: `s${String(i)}`, weight: s.weight, tasks };
    });
    return { sections, values };
  });

describe('CO-2: the composite of settled values', () => {
  test('lies within them, and its shares add up to 1', () => {
    fc.assert(
      fc.property(settled, ({ sections, values }) => {
        const found = composite(sections, (t) => values.get(t));
        expect(found.value.ok).toBe(values.size > 0);
        if (!found.value.ok) return;
        expect(found.value.value).toBeGreaterThanOrEqual(Math.min(...values.values()) - 1e-12);
        expect(found.value.value).toBeLessThanOrEqual(Math.max(...values.values()) + 1e-12);
        near(
          found.sections.reduce((sum, s) => sum + s.weight, 0),
          1,
          'shares',
          1e-12,
        );
      }),
      runs(),
    );
  });
  test('does not depend on the order of sections and tasks, nor on the unit of the weights', () => {
    fc.assert(
      fc.property(settled, fc.integer({ min: 2, max: 9 }), ({ sections, values }, unit) => {
        const other = sections.toReversed().map((s) => ({
          ...s,
          weight: s.weight * unit,
          tasks: s.tasks.toReversed().map((t) => ({ ...t, weight: t.weight * unit })),
        }));
        const a = composite(sections, (t) => values.get(t));
        const b = composite(other, (t) => values.get(t));
        expect(b.value.ok).toBe(a.value.ok);
        if (a.value.ok && b.value.ok) near(b.value.value, a.value.value, 'composite', 1e-12);
        near(b.weightUsed, a.weightUsed, 'weight used', 1e-12);
        expect(b.provisional).toBe(a.provisional);
      }),
      runs(),
    );
  });
  test('rises with a settled value, turns with the scale, moves with a shift', () => {
    fc.assert(
      fc.property(settled, fc.nat(), ({ sections, values }, which) => {
        if (values.size === 0) return;
        const of = (change: (x: number, task: string) => number): number => {
          const value = (t: string): number | undefined => {
            const x = values.get(t);
            return x === undefined ? undefined : change(x, t);
          };
          return must(composite(sections, value).value);
        };
        const chosen = [...values.keys()][which % values.size];
        const as = of((x) => x);
        expect(of((x, t) => (t === chosen ? x + 0.5 : x))).toBeGreaterThan(as);
        near(
          of((x) => 5 - x),
          5 - as,
          'turned',
          1e-12,
        );
        near(
          of((x) => x + 3),
          as + 3,
          'shifted',
          1e-12,
        );
      }),
      runs(),
    );
  });
});

describe('CO-3: the composite of mean ratings', () => {
  const sectionsFor = (rows: number): CompositeSection[] => [
    {
      id: 'even',
      weight: 2,
      tasks: Array.from({ length: rows }, (_, i) => ({ id: `t${String(i)}`, weight: (i % 2) + 1 })),
    },
    { id: 'first', weight: 3, tasks: [{ id: 't0', weight: 1 }] },
  ];
  const of = (cells: readonly (readonly (number | undefined)[])[]) =>
    compositeOfMeans(
      {
        tasks: cells.map((_, i) => `t${String(i)}`),
        reviewers: (cells[0] ?? []).map((_, j) => `R${String(j)}`),
        cells,
      },
      sectionsFor(cells.length),
    );

  test('does not depend on the order of the reviewers', () => {
    fc.assert(
      fc.property(tables(), ({ cells }) => {
        const a = of(cells);
        const b = of(cells.map((row) => row.toReversed()));
        expect(b.value.ok).toBe(a.value.ok);
        if (a.value.ok && b.value.ok) near(b.value.value, a.value.value, 'composite', 1e-12);
        expect(b.interval.ok).toBe(a.interval.ok);
        if (a.interval.ok && b.interval.ok) {
          expect(b.interval.value.method).toBe(a.interval.value.method);
          near(b.interval.value.upper, a.interval.value.upper, 'upper', 1e-10);
        }
        const own = (list: typeof a.byReviewer): (number | string)[] =>
          list.map((f) => (f.ok ? f.value : f.why));
        expect(own(b.byReviewer)).toEqual(own(a.byReviewer).toReversed());
      }),
      runs(),
    );
  });
  test('on complete tables: the mean of the own composites, and jackknife equal to t', () => {
    fc.assert(
      fc.property(tables(false), ({ cells }) => {
        const found = of(cells);
        const own = found.byReviewer.map(must);
        const k = own.length;
        near(own.reduce((sum, x) => sum + x, 0) / k, must(found.value), 'mean', 1e-12);
        if (k < 3) return;
        const pseudo = found.leaveOneOut.map((c) => k * must(found.value) - (k - 1) * must(c));
        near(must(tInterval(pseudo)).lower, must(found.interval).lower, 'lower', 1e-9);
      }),
      runs(),
    );
  });
});

test('GA-1: a further confirmation never lifts the gate, and no other decision moves it', () => {
  const decisions = fc.array(fc.record({ task: fc.string(), confirmed: fc.boolean() }));
  fc.assert(
    fc.property(decisions, fc.string(), (decided, task) => {
      const before = verdict(decided);
      const more = verdict([...decided, { task, confirmed: true }]);
      expect(more).toEqual({ kind: 'care-was-blocked', tasks: [...before.tasks, task] });
      expect(verdict([...decided, { task, confirmed: false }])).toEqual(before);
    }),
    runs(),
  );
});

test('CO-3: a mean without one reviewer is to the last digit the mean of the others', () => {
  const rating = fc.oneof(
    fc.integer({ min: -11, max: 11 }).map((x) => x / 2),
    fc.double({ min: -5, max: 5, noNaN: true }),
  );
  fc.assert(
    fc.property(fc.array(fc.option(rating, { nil: undefined }), { maxLength: 60 }), (row) => {
      const without = meanWithout(row);
      row.forEach((_, j) => {
        const others = mean(present(row.filter((__, c) => c !== j)));
        // Zero has one sign on every scale.
        expect((without(j) ?? Number.NaN) + 0).toBe((others ?? Number.NaN) + 0);
      });
    }),
    runs(),
  );
});
