import { ratingFlags, type TaskAnswers } from './divergence.ts';
import type { DivergenceConstants } from './divergence-rule.ts';
import { figure, noFigure, type Figure } from './figure.ts';

/**
 * Whether a task still diverges when each reviewer's habit is taken out of the ratings. `habit` gives the
 * additive effect of a reviewer (positive: rates higher than the panel). Undefined when the habit of someone
 * who rated cannot be estimated: leaving it in would compare corrected with uncorrected ratings.
 * A sensitivity line beside the flag; it never removes one.
 */
export const survivesSeverity = (
  answers: TaskAnswers,
  rule: DivergenceConstants,
  habit: (reviewer: string) => number | undefined,
): Figure<boolean> => {
  const steps: { reviewer: string; value: number }[] = [];
  for (const { reviewer, value } of answers.steps) {
    const effect = habit(reviewer);
    if (effect === undefined) return noFigure(`the habit of ${reviewer} cannot be estimated`);
    steps.push({ reviewer, value: value - effect });
  }
  return figure(ratingFlags({ ...answers, steps }, rule).length > 0);
};
