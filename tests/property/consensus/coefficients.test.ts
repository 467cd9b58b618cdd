import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { gwet } from '../../../server/src/consensus/gwet.ts';
import { icc } from '../../../server/src/consensus/icc.ts';
import { mean, variance } from '../../../server/src/consensus/mean.ts';
import { scalePoints } from '../../../server/src/consensus/table.ts';
import { allCoefficients, differences } from '../../support/all-coefficients.ts';
import { runs, shuffledTables, tables, type ScaledCells } from '../../support/rating-tables.ts';

const mapped = ({ scale, cells }: ScaledCells, change: (x: number) => number): ScaledCells => {
  const ends = [change(scale.min), change(scale.max)];
  return {
    scale: { ...scale, min: Math.min(...ends), max: Math.max(...ends) },
    cells: cells.map((row) => row.map((x) => (x === undefined ? undefined : change(x)))),
  };
};

describe('agreement does not depend on', () => {
  test('the order of tasks and reviewers', () => {
    fc.assert(
      fc.property(shuffledTables, ({ scale, cells, shuffled }) => {
        const a = allCoefficients({ scale, cells });
        expect(differences(a, allCoefficients({ scale, cells: shuffled }))).toEqual([]);
      }),
      runs(),
    );
  });
  test('which end of the scale is the better one', () => {
    fc.assert(
      fc.property(tables(), (t) => {
        const turned = mapped(t, (x) => t.scale.min + t.scale.max - x);
        expect(differences(allCoefficients(t), allCoefficients(turned))).toEqual([]);
      }),
      runs(),
    );
  });
  test('where the scale begins', () => {
    fc.assert(
      fc.property(tables(), fc.integer({ min: -50, max: 50 }), (t, by) => {
        expect(differences(allCoefficients(t), allCoefficients(mapped(t, (x) => x + by)))).toEqual(
          [],
        );
      }),
      runs(),
    );
  });
  test('a reviewer or a task without any rating', () => {
    fc.assert(
      fc.property(tables(), (t) => {
        const wider = t.cells.map((row) => [...row, undefined]);
        const cells = [...wider, (wider[0] ?? []).map(() => undefined)];
        expect(differences(allCoefficients(t), allCoefficients({ ...t, cells }))).toEqual([]);
      }),
      runs(),
    );
  });
});

describe('bounds', () => {
  test('no coefficient exceeds 1; shares and W stay within 0 and 1', () => {
    fc.assert(
      fc.property(tables(), (t) => {
        for (const [name, f] of Object.entries(allCoefficients(t))) {
          if (!f.ok) continue;
          expect(Number.isFinite(f.value), name).toBe(true);
          expect(f.value, name).toBeLessThanOrEqual(1 + 1e-12);
          if (['pooled', 'mean over tasks', 'W'].includes(name)) {
            expect(f.value, name).toBeGreaterThanOrEqual(-1e-12);
          }
        }
      }),
      runs(400),
    );
  });
  test('limits enclose the estimate', () => {
    fc.assert(
      fc.property(tables(), ({ scale, cells }) => {
        const ac = gwet(cells, scalePoints(scale), 'quadratic');
        if (ac.ok && ac.value.inference.ok) {
          const { lower, upper } = ac.value.inference.value;
          expect(lower).toBeLessThanOrEqual(ac.value.estimate + 1e-12);
          expect(upper).toBeGreaterThanOrEqual(ac.value.estimate - 1e-12);
        }
        const table = icc(cells);
        if (!table.ok) return;
        for (const [form, f] of Object.entries(table.value.forms)) {
          if (!f.ok || !f.value.interval.ok) continue;
          const { lower, upper } = f.value.interval.value;
          expect(lower, form).toBeLessThanOrEqual(f.value.estimate + 1e-9);
          expect(upper, form).toBeGreaterThanOrEqual(f.value.estimate - 1e-9);
        }
      }),
      runs(),
    );
  });
});

test('ICC(3,k) is Cronbach alpha, k/(k-1) (1 - sum of variances / variance of sums)', () => {
  fc.assert(
    fc.property(tables(false), ({ cells }) => {
      const rows = cells as number[][];
      const k = rows[0]?.length ?? 0;
      const columns = Array.from({ length: k }, (_, j) => rows.map((row) => row[j] ?? 0));
      const ofSums = variance(rows.map((row) => row.reduce((sum, x) => sum + x, 0))) ?? 0;
      const ofColumns = k * (mean(columns.map((c) => variance(c) ?? 0)) ?? 0);
      const table = icc(cells);
      if (!table.ok || ofSums === 0) return;
      const f = table.value.forms['3,k'];
      const alpha = (k / (k - 1)) * (1 - ofColumns / ofSums);
      expect(f.ok && Math.abs(f.value.estimate - alpha) < 1e-9 * Math.max(1, Math.abs(alpha))).toBe(
        true,
      );
    }),
    runs(),
  );
});
