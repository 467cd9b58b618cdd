import { aWg } from '../consensus/a-wg.ts';
import { algorithmA } from '../consensus/algorithm-a.ts';
import { appropriateness, thirdsDisagreement } from '../consensus/appropriateness.ts';
import { divergenceFlags, type TaskAnswers } from '../consensus/divergence.ts';
import type { DivergenceConstants } from '../consensus/divergence-rule.ts';
import { flagSentence } from '../consensus/flag-sentence.ts';
import { mean } from '../consensus/mean.ts';
import { median } from '../consensus/quantile.ts';
import { rWg } from '../consensus/r-wg.ts';
import type { SeverityFit } from '../consensus/severity.ts';
import { adMean, adMedian, interquartileRange, range } from '../consensus/spread.ts';
import { survivesSeverity } from '../consensus/survives-severity.ts';
import { present } from '../consensus/table.ts';
import type { FlagFigures, TaskFigures } from './analysis.ts';
import { noted, orWhy, part } from './noted.ts';
import type { RatingSource } from './rating-source.ts';

const NONE = 'no rating';

const flagFigures = (
  answers: TaskAnswers,
  rule: DivergenceConstants,
  habit: (reviewer: string) => number | undefined,
): FlagFigures[] => {
  const survives = survivesSeverity(answers, rule, habit);
  return divergenceFlags(answers, rule).map((flag) => ({
    rule: flag.rule,
    reviewers: flag.reviewers,
    kind: flag.kind,
    sentence: flagSentence(flag),
    constants: flag.constants,
    ...noted({ survives_severity: survives }),
  }));
};

/** The figures of every task, in table order. */
export const taskFigures = (
  { table, sectionOf }: RatingSource,
  rule: DivergenceConstants,
  habits: SeverityFit | undefined,
): TaskFigures[] => {
  const { scale, reviewers } = table;
  const habit = (reviewer: string): number | undefined =>
    habits?.effects[reviewers.indexOf(reviewer)];
  return table.tasks.map((task, i) => {
    const row = table.cells[i] ?? [];
    const values = present(row);
    const steps = row.flatMap((value, j) =>
      value === undefined ? [] : [{ reviewer: reviewers[j] ?? '', value }],
    );
    const unconnected = 'reviewers and tasks are not connected, or too few ratings';
    return {
      task,
      section: sectionOf.get(task) ?? '',
      n: values.length,
      ...noted({
        median: orWhy(median(values), NONE),
        mean: orWhy(mean(values), NONE),
        range: orWhy(range(values), NONE),
        ad_median: orWhy(adMedian(values), NONE),
        ad_mean: orWhy(adMean(values), NONE),
        a_wg: aWg(values, scale),
        r_wg: rWg(values, scale),
        iqr: orWhy(interquartileRange(values), NONE),
        fair: orWhy(habits?.fair[i], unconnected),
        robust_mean: orWhy(algorithmA(values)?.mean, 'fewer than three ratings'),
        disagreement_index: part(appropriateness(values, scale), (a) => a.index),
        polarised: thirdsDisagreement(values, scale),
      }),
      flags: flagFigures({ steps, notApplicable: [], critical: [] }, rule, habit),
    };
  });
};
