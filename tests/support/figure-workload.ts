import type { RatingSource } from '../../server/src/analysis/rating-source.ts';
import { composite } from '../../server/src/consensus/composite.ts';
import { divergenceFlags } from '../../server/src/consensus/divergence.ts';
import { defaultRule } from '../../server/src/consensus/divergence-rule.ts';
import { krippendorffAlpha } from '../../server/src/consensus/krippendorff-alpha.ts';
import { median } from '../../server/src/consensus/quantile.ts';
import { present } from '../../server/src/consensus/table.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';

const SECTIONS = 6;
const ABSENT = 0.07;

/** An invented table: tasks that differ, reviewers with a habit, 7 % of the cells absent. */
export const figureWorkload = (tasks: number, reviewers: number): RatingSource => {
  const random = seededRandom(20260101);
  const habits = Array.from({ length: reviewers }, () => random() - 0.5);
  const cells = Array.from({ length: tasks }, () => {
    const centre = 5 * random();
    return habits.map((habit) => {
      const noise = 2 * (random() + random() - 1);
      const step = Math.min(5, Math.max(0, Math.round(centre + habit + noise)));
      return random() < ABSENT ? undefined : step;
    });
  });
  const names = cells.map((_, i) => `t${String(i)}`);
  return {
    table: {
      scale: { min: 0, max: 5, better: 'lower' },
      tasks: names,
      reviewers: habits.map((_, j) => `R${String(j)}`),
      cells,
    },
    units: cells,
    sections: Array.from({ length: SECTIONS }, (_, s) => ({
      id: `s${String(s)}`,
      weight: s + 1,
      tasks: names.filter((_t, i) => i % SECTIONS === s).map((id) => ({ id, weight: 1 })),
    })),
    rounds: [],
    trials: undefined,
    sectionOf: new Map(names.map((t, i) => [t, `s${String(i % SECTIONS)}`])),
  };
};

/** What changes with every settlement: medians, flags, ordinal alpha, composite. */
export const liveSet = ({ table, sections }: RatingSource) => {
  const rule = defaultRule(table.scale);
  const medians = new Map(
    table.tasks.map((t, i) => [t, median(present(table.cells[i] ?? []))] as const),
  );
  const flags = table.cells.map((row) => {
    const steps = row.flatMap((value, j) =>
      value === undefined ? [] : [{ reviewer: table.reviewers[j] ?? '', value }],
    );
    return divergenceFlags({ steps, notApplicable: [], critical: [] }, rule);
  });
  return {
    flagged: flags.filter((f) => f.length > 0).length,
    alpha: krippendorffAlpha(table.cells, 'ordinal'),
    composite: composite(sections, (t) => medians.get(t)),
  };
};
