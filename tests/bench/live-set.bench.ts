import { bench, describe } from 'vitest';
import { composite, type CompositeSection } from '../../server/src/consensus/composite.ts';
import { compositeOfMeans } from '../../server/src/consensus/composite-of-means.ts';
import { divergenceFlags } from '../../server/src/consensus/divergence.ts';
import { defaultRule } from '../../server/src/consensus/divergence-rule.ts';
import { krippendorffAlpha } from '../../server/src/consensus/krippendorff-alpha.ts';
import { median } from '../../server/src/consensus/quantile.ts';
import { present, type RatingCells } from '../../server/src/consensus/table.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';

/**
 * The figures that change with every settlement, for 30 tasks and 12 reviewers (7 % of the cells absent): medians,
 * flags, ordinal alpha, composite. Run: `npx vitest bench --root . --config tests/vitest.config.ts --project core`.
 */
const TASKS = 30;
const REVIEWERS = 12;
const SECTIONS = 6;

const random = seededRandom(20260101);
const cells: RatingCells = Array.from({ length: TASKS }, () => {
  const centre = 5 * random();
  return Array.from({ length: REVIEWERS }, () => {
    const noise = 2 * (random() + random() - 1);
    return random() < 0.07 ? undefined : Math.min(5, Math.max(0, Math.round(centre + noise)));
  });
});
const tasks = cells.map((_, i) => `t${String(i)}`);
const reviewers = Array.from({ length: REVIEWERS }, (_, j) => `R${String(j)}`);
const sections: CompositeSection[] = Array.from({ length: SECTIONS }, (_, s) => ({
  id: `s${String(s)}`,
  weight: s + 1,
  tasks: tasks.filter((_t, i) => i % SECTIONS === s).map((id) => ({ id, weight: 1 })),
}));
const rule = defaultRule({ min: 0, max: 5, better: 'lower' });

const liveSet = (): unknown => {
  const medians = new Map(tasks.map((t, i) => [t, median(present(cells[i] ?? []))]));
  const flags = cells.map((row) =>
    divergenceFlags(
      {
        steps: row.flatMap((value, j) =>
          value === undefined ? [] : [{ reviewer: reviewers[j] ?? '', value }],
        ),
        notApplicable: [],
        critical: [],
      },
      rule,
    ),
  );
  const alpha = krippendorffAlpha(cells, 'ordinal');
  return { medians, flags, alpha, composite: composite(sections, (t) => medians.get(t)) };
};

describe('30 tasks by 12 reviewers', () => {
  bench('live set: medians, flags, alpha, composite', () => {
    liveSet();
  });
  bench('the same with the composite of means, its interval and leave-one-out', () => {
    liveSet();
    compositeOfMeans({ tasks, reviewers, cells }, sections);
  });
});
