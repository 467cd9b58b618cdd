import { ratingScaleModel } from '../consensus/rating-scale-model.ts';
import type { RatingScaleFigures } from './analysis.ts';
import type { RatingSource } from './rating-source.ts';

/**
 * The many-facet rating-scale model of a list: exploratory, since with a dozen reviewers many steps of a scale
 * are hardly observed. Severity here is on the logit scale, + = harder on the piece.
 */
export const ratingScaleFigures = ({ table }: RatingSource): RatingScaleFigures => {
  const { tasks, reviewers, scale, cells } = table;
  const ratings = cells.flatMap((row, task) =>
    row.flatMap((value, reviewer) =>
      value === undefined ? [] : [{ task, reviewer, category: value - scale.min }],
    ),
  );
  const none = (why: string): RatingScaleFigures => ({
    reviewers: [],
    tasks: [],
    notes: { rating_scale_model: why },
  });
  if (ratings.some((r) => !Number.isInteger(r.category))) {
    return none('a rating lies between the points of the scale');
  }
  const fit = ratingScaleModel(ratings, tasks.length, reviewers.length, scale.max - scale.min);
  if (!fit) return none('not every point of the scale was used, or too few tasks or reviewers');
  return {
    reviewers: reviewers.flatMap((reviewer, j) => {
      const statistics = fit.reviewerFit[j];
      const severity = fit.severity[j];
      return statistics && severity !== undefined ? [{ reviewer, severity, ...statistics }] : [];
    }),
    tasks: tasks.flatMap((task, i) => {
      const statistics = fit.taskFit[i];
      const difficulty = fit.task[i];
      return statistics && difficulty !== undefined ? [{ task, difficulty, ...statistics }] : [];
    }),
    ...(fit.converged ? {} : { notes: { rating_scale_model: 'the fit did not settle' } }),
  };
};
