import { compositeOfMeans } from './composite-of-means.ts';
import type { CompositeSection } from './composite.ts';
import { ratingFlags } from './divergence.ts';
import type { DivergenceConstants } from './divergence-rule.ts';
import { figure, type Figure } from './figure.ts';
import { krippendorffAlpha } from './krippendorff-alpha.ts';
import { present, type RatingScale, type RatingTable } from './table.ts';

/** What one reviewer's absence would change. */
export interface Absence {
  /** Composite of mean ratings without the reviewer, less the composite with everybody. */
  change: Figure;
  /** Ordinal alpha without the reviewer. */
  alpha: Figure;
  /** Tasks that would no longer diverge, and tasks that would begin to. */
  flagsGone: string[];
  flagsNew: string[];
}

/** Whether the composite moves by a twentieth of the scale's width or more (our rule; 0.25 on 0..5). */
export const isDecisive = (change: Figure, { min, max }: RatingScale): boolean =>
  change.ok && Math.abs(change.value) >= 0.05 * (max - min) - 1e-9;

/** Whether a task diverges with the given ratings; who gave which does not matter. */
const diverges = (values: readonly number[], rule: DivergenceConstants): boolean => {
  const steps = values.map((value, j) => ({ reviewer: String(j), value }));
  return ratingFlags({ steps, notApplicable: [], critical: [] }, rule).length > 0;
};

/**
 * Whether one task diverges with everybody, and without a reviewer who gave `value`. Whoever gave the same value
 * leaves the same ratings behind, so each value is judged once, however many reviewers there are.
 */
const judge = (row: readonly (number | undefined)[], rule: DivergenceConstants) => {
  const values = present(row);
  const all = diverges(values, rule);
  const without = new Map<number, boolean>();
  return {
    all,
    without: (value: number | undefined): boolean => {
      if (value === undefined) return all;
      const known = without.get(value);
      if (known !== undefined) return known;
      const left = diverges(values.toSpliced(values.indexOf(value), 1), rule);
      without.set(value, left);
      return left;
    },
  };
};

/** One entry a reviewer, in table order. Only what the ratings themselves say: no settled value moves. */
export const absences = (
  table: RatingTable,
  sections: readonly CompositeSection[],
  rule: DivergenceConstants,
): Absence[] => {
  const { value, leaveOneOut } = compositeOfMeans(table, sections);
  const judged = table.cells.map((row) => judge(row, rule));
  return table.reviewers.map((_, absent) => {
    const cells = table.cells.map((row) => row.map((x, j) => (j === absent ? undefined : x)));
    const without = leaveOneOut[absent] ?? value;
    const turned = (to: boolean): string[] =>
      table.tasks.filter((_task, i) => {
        const after = judged[i]?.without(table.cells[i]?.[absent]);
        return after === to && judged[i]?.all === !to;
      });
    return {
      change: value.ok && without.ok ? figure(without.value - value.value) : without,
      alpha: krippendorffAlpha(cells, 'ordinal'),
      flagsGone: turned(false),
      flagsNew: turned(true),
    };
  });
};
