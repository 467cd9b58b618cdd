import type { VarianceComponents } from './variance-components.ts';

/** How dependable the mean of a number of reviewers would be, tasks being the objects of measurement. */
export interface Dependability {
  /** Generalizability coefficient: ordering of tasks only. */
  g: number;
  /** Index of dependability: the values themselves. */
  phi: number;
  /** Standard error of measurement of a task's panel mean, scale points: absolute and relative. */
  semAbsolute: number;
  semRelative: number;
}

/**
 * D-study for one facet. Negative components count as zero. Undefined when the tasks do not differ
 * (no task variance) or `reviewers` < 1. Source: Brennan, Generalizability Theory, 2001, chapter 2.
 */
export const dependability = (
  components: VarianceComponents,
  reviewers: number,
): Dependability | undefined => {
  const task = Math.max(0, components.task);
  if (task === 0 || reviewers < 1) return undefined;
  const relative = Math.max(0, components.residual) / reviewers;
  const absolute = relative + Math.max(0, components.reviewer) / reviewers;
  return {
    g: task / (task + relative),
    phi: task / (task + absolute),
    semAbsolute: Math.sqrt(absolute),
    semRelative: Math.sqrt(relative),
  };
};

/** Fewest reviewers whose mean reaches `phi` (0 < phi < 1). Undefined when the tasks do not differ. */
export const reviewersForPhi = (
  components: VarianceComponents,
  phi: number,
): number | undefined => {
  const task = Math.max(0, components.task);
  if (task === 0 || !(phi > 0 && phi < 1)) return undefined;
  const error = Math.max(0, components.reviewer) + Math.max(0, components.residual);
  const needed = ((phi / (1 - phi)) * error) / task;
  // An exact whole number must not be pushed up by binary noise.
  return Math.max(1, Math.ceil(needed - 1e-9));
};
