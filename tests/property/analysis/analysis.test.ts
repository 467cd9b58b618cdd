import fc from 'fast-check';
import { expect, test } from 'vitest';
import { analyseList, listOf } from '../../support/analyse-rows.ts';

const scale = { min: 0, max: 5, better: 'lower' } as const;

/** Small tables with absent cells, half points, constant rows and columns. */
const tables = fc
  .tuple(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 1, max: 4 }))
  .chain(([tasks, reviewers]) => {
    const cell = fc.option(fc.constantFrom(0, 1, 1, 2, 3, 3.5, 4, 5), { freq: 4 });
    const row = fc.array(cell, { minLength: reviewers, maxLength: reviewers });
    return fc.array(row, { minLength: tasks, maxLength: tasks });
  })
  .filter((rows) => rows.some((row) => row.some((x) => x !== null)));

const analysisOf = (rows: (number | null)[][]) =>
  analyseList(
    listOf(
      rows.map((_, i) => `t${String(i)}`),
      (rows[0] ?? []).map((_, j) => `R${String(j)}`),
      rows,
    ),
    scale,
  );

/** Paths of values that are null without a reason under `notes` beside them. */
const silent = (value: unknown, path = ''): string[] => {
  if (Array.isArray(value)) return value.flatMap((x, i) => silent(x, `${path}[${String(i)}]`));
  if (typeof value !== 'object' || value === null) return [];
  const { notes } = value as { notes?: Record<string, string> };
  return Object.entries(value).flatMap(([key, x]) => {
    // A rule without a split part has none by definition.
    if (x === null) return notes?.[key] || key === 'split' ? [] : [`${path}.${key}`];
    return silent(x, `${path}.${key}`);
  });
};

test('a figure that is not defined is null with its reason beside it; nothing is NaN', () => {
  fc.assert(
    fc.property(tables, (rows) => {
      const found = analysisOf(rows);
      expect(silent(found)).toEqual([]);
      // What JSON cannot hold would silently become null.
      expect(silent(JSON.parse(JSON.stringify(found)))).toEqual([]);
    }),
    { numRuns: 150, seed: 11 },
  );
});

test('the order of lines changes nothing but the order of tasks and reviewers', () => {
  fc.assert(
    fc.property(tables, fc.infiniteStream(fc.nat(99)), (rows, order) => {
      const tasks = rows.map((_, i) => `t${String(i)}`);
      const reviewers = (rows[0] ?? []).map((_, j) => `R${String(j)}`);
      const [head = '', ...lines] = listOf(tasks, reviewers, rows).split('\n');
      const shuffled = lines
        .map((line) => ({ line, at: order.next().value }))
        .toSorted((a, b) => a.at - b.at)
        .map((x) => x.line);
      const one = analyseList([head, ...lines].join('\n'), scale);
      const two = analyseList([head, ...shuffled].join('\n'), scale);
      for (const t of one.tasks) {
        const same = two.tasks.find((x) => x.task === t.task);
        expect([t.n, t.median, t.range]).toEqual([same?.n, same?.median, same?.range]);
        expect(t.flags.map((f) => f.kind)).toEqual(same?.flags.map((f) => f.kind));
      }
      const close = (a: number | null, b: number | null): void => {
        if (a === null || b === null) expect(a).toBe(b);
        else expect(a).toBeCloseTo(b, 9);
      };
      close(one.agreement.alpha.ordinal, two.agreement.alpha.ordinal);
      close(one.agreement.ac2_quadratic, two.agreement.ac2_quadratic);
      close(one.composite.value, two.composite.value);
      close(one.composite.lower, two.composite.lower);
    }),
    { numRuns: 100, seed: 12 },
  );
});
