import { compositeOfMeans } from './composite-of-means.ts';
import type { CompositeSection } from './composite.ts';
import { ratingFlags } from './divergence.ts';
import type { DivergenceConstants } from './divergence-rule.ts';
import { figure, type Figure } from './figure.ts';
import { krippendorffAlpha } from './krippendorff-alpha.ts';
import type { RatingCells, RatingScale, RatingTable } from './table.ts';

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

const divergent = (
  { tasks, reviewers }: Pick<RatingTable, 'tasks' | 'reviewers'>,
  cells: RatingCells,
  rule: DivergenceConstants,
): Set<string> =>
  new Set(
    tasks.filter((_, i) => {
      const steps = (cells[i] ?? []).flatMap((value, j) =>
        value === undefined ? [] : [{ reviewer: reviewers[j] ?? '', value }],
      );
      return ratingFlags({ steps, notApplicable: [], critical: [] }, rule).length > 0;
    }),
  );

/** One entry a reviewer, in table order. Only what the ratings themselves say: no settled value moves. */
export const absences = (
  table: RatingTable,
  sections: readonly CompositeSection[],
  rule: DivergenceConstants,
): Absence[] => {
  const { value, leaveOneOut } = compositeOfMeans(table, sections);
  const before = divergent(table, table.cells, rule);
  return table.reviewers.map((_, absent) => {
    const cells = table.cells.map((row) => row.map((x, j) => (j === absent ? undefined : x)));
    const after = divergent(table, cells, rule);
    const without = leaveOneOut[absent] ?? value;
    return {
      change: value.ok && without.ok ? figure(without.value - value.value) : without,
      alpha: krippendorffAlpha(cells, 'ordinal'),
      flagsGone: table.tasks.filter((t) => before.has(t) && !after.has(t)),
      flagsNew: table.tasks.filter((t) => !before.has(t) && after.has(t)),
    };
  });
};
