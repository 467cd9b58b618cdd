import { absences } from '../consensus/absence.ts';
import type { DivergenceConstants } from '../consensus/divergence-rule.ts';
import { noFigure } from '../consensus/figure.ts';
import { mandelH, mandelProfile } from '../consensus/mandel-h.ts';
import type { SeverityFit } from '../consensus/severity.ts';
import type { ReviewerFigures } from './analysis.ts';
import { noted, orWhy, part } from './noted.ts';
import type { RatingSource } from './rating-source.ts';

const NOBODY = 'no rating';

const noSeverity = (habits: SeverityFit | undefined): string => {
  if (!habits) return 'fewer than two ratings';
  return habits.components > 1
    ? `the ratings fall into ${String(habits.components)} groups that no common task connects`
    : 'no rating';
};

/** The figures of every reviewer, in table order. */
export const reviewerFigures = (
  { table, sections }: RatingSource,
  rule: DivergenceConstants,
  habits: SeverityFit | undefined,
): ReviewerFigures[] => {
  const h = table.cells.map(mandelH);
  const absence = absences(table, sections, rule);
  return table.reviewers.map((reviewer, j) => {
    const profile = mandelProfile(h, j);
    const without = absence[j];
    return {
      reviewer,
      n: table.cells.filter((row) => row[j] !== undefined).length,
      ...noted({
        severity: orWhy(habits?.effects[j], noSeverity(habits)),
        severity_se: orWhy(habits?.effectErrors[j], 'no residual degrees of freedom'),
        mandel_h: part(profile, (p) => p.mean),
      }),
      above: profile.ok ? profile.value.above : 0,
      below: profile.ok ? profile.value.below : 0,
      without: {
        ...noted({
          composite_change: without?.change ?? noFigure(NOBODY),
          alpha: without?.alpha ?? noFigure(NOBODY),
        }),
        flags_gone: without?.flagsGone ?? [],
        flags_new: without?.flagsNew ?? [],
      },
    };
  });
};
