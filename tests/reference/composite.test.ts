import { describe, expect, test } from 'vitest';
import intervals from '../../fixtures/reference/composite-interval.json' with { type: 'json' };
import composites from '../../fixtures/reference/composite.json' with { type: 'json' };
import { composite, type CompositeSection } from '../../server/src/consensus/composite.ts';
import { compositeOfMeans } from '../../server/src/consensus/composite-of-means.ts';
import type { Figure } from '../../server/src/consensus/figure.ts';
import { mean } from '../../server/src/consensus/mean.ts';
import { present, withoutCells, type RatingTable } from '../../server/src/consensus/table.ts';
import { expectFigure } from '../support/expect-figure.ts';
import { cellsOf, near } from '../support/reference.ts';

/** Expected values: Python 3.11 with NumPy (composites) and R 4.2.2 (intervals); tolerance 1e-9. */
const tableOf = (ratings: (number | null)[][]): RatingTable => ({
  scale: { min: 0, max: 5, better: 'higher' },
  tasks: ratings.map((_, i) => `T${String(i)}`),
  reviewers: (ratings[0] ?? []).map((_, j) => `R${String(j)}`),
  cells: cellsOf(ratings),
});

const valueOf = (f: Figure | undefined): number => (f?.ok ? f.value : NaN);

describe.each(composites.cases)('$id', ({ input, expected }) => {
  const table = tableOf(input.ratings);
  const sections: CompositeSection[] = input.sections.map((s, i) => ({
    id: `S${String(i)}`,
    weight: s.weight,
    tasks: s.tasks.map((t) => ({ id: `T${String(t)}`, weight: 1 })),
  }));
  const means = new Map(table.tasks.map((t, i) => [t, mean(present(table.cells[i] ?? []))]));

  test('CO-2: section means and the weighted composite over absent ratings', () => {
    const found = composite(sections, (task) => means.get(task));
    expectFigure(found.value, expected.composite, 'composite');
    found.sections.forEach((s, i) => {
      expectFigure(s.value, expected.sectionMeans[i], s.id);
    });
    near(found.weightUsed, expected.weightUsed / expected.weightTotal, 'weight used');
    near(
      found.sections.reduce((sum, s) => sum + s.weight, 0),
      1,
      'sum of shares',
    );
  });

  test('CO-3: without each reviewer, and without those with an interest', () => {
    const found = compositeOfMeans(table, sections);
    expectFigure(found.value, expected.composite, 'composite');
    expected.leaveOneOut.forEach((c, j) => {
      expectFigure(
        found.leaveOneOut[j] ?? { ok: false, why: 'absent' },
        c,
        `without R${String(j)}`,
      );
    });
    const influence = found.leaveOneOut.map((c) => Math.abs(valueOf(c) - valueOf(found.value)));
    near(Math.max(...influence), expected.maxInfluence, 'largest influence');
    const out = input.conflictedReviewers.flatMap((j) =>
      table.tasks.map((task) => ({ task, reviewer: `R${String(j)}` })),
    );
    const headline = compositeOfMeans(withoutCells(table, out), sections);
    expectFigure(headline.value, expected.excludingConflicted, 'without interests');
  });
});

describe.each(intervals.cases)('$id', ({ input, expected }) => {
  const table = tableOf(input.ratings);
  const tasks = table.tasks.map((id, i) => ({ id, weight: input.taskWeights[i] ?? 0 }));
  const found = compositeOfMeans(table, [{ id: 'S', weight: 1, tasks }]);

  test("CO-3: t interval on the reviewers' own composites", () => {
    expectFigure(found.value, expected.t0, 'composite');
    expected.reviewerComposites.forEach((c, j) => {
      near(valueOf(found.byReviewer[j]), c, `own composite of R${String(j + 1)}`);
    });
    if (!found.interval.ok) throw new Error(found.interval.why);
    expect(found.interval.value.method).toBe('t');
    near(found.interval.value.lower, expected.t_interval[0] ?? NaN, 'lower');
    near(found.interval.value.upper, expected.t_interval[1] ?? NaN, 'upper');
  });

  test('without each reviewer', () => {
    expected.loo.forEach((want, j) => {
      const without = valueOf(found.leaveOneOut[j]);
      near(without, want.composite, `without ${want.without}`);
      near(without - valueOf(found.value), want.delta, `change without ${want.without}`);
    });
  });
});
