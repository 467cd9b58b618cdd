import { Matrix, solve } from 'ml-matrix';

/** One rating as a category count from 0 (the lowest point of the scale) up. */
export interface FacetRating {
  task: number;
  reviewer: number;
  category: number;
}

/**
 * Many-facet rating-scale model: log(P[k] / P[k-1]) = task - severity - step[k]. Exploratory: with a dozen
 * reviewers many steps are hardly observed, and joint estimates lie too far out for short facets.
 */
export interface RatingScaleFit {
  /** Undefined for tasks left out because every rating lies at one end of the scale. */
  task: (number | undefined)[];
  severity: number[];
  steps: number[];
  logLikelihood: number;
  taskFit: (FitStatistics | undefined)[];
  reviewerFit: FitStatistics[];
  converged: boolean;
}

/** Mean squares near 1 mean ratings as varied as the model expects. */
export interface FitStatistics {
  infit: number;
  outfit: number;
}

interface Layout {
  ratings: FacetRating[];
  tasks: number[];
  reviewers: number;
  top: number;
}

/** Probabilities of the categories 0..steps.length at a location on the logit scale. */
const categoryProbabilities = (location: number, steps: readonly number[]): number[] => {
  let log = 0;
  const logs = [0, ...steps.map((step) => (log += location - step))];
  const highest = Math.max(...logs);
  const terms = logs.map((l) => Math.exp(l - highest));
  const total = terms.reduce((sum, x) => sum + x, 0);
  return terms.map((x) => x / total);
};

const moments = (p: readonly number[]) => {
  const mean = p.reduce((sum, x, k) => sum + k * x, 0);
  return { mean, variance: p.reduce((sum, x, k) => sum + (k - mean) ** 2 * x, 0) };
};

/** Free parameters: all tasks but the last, all reviewers but the last (both sum to zero), every step. */
const unpack = (layout: Layout, free: readonly number[]) => {
  const n = layout.tasks.length - 1;
  const k = layout.reviewers - 1;
  const close = (values: readonly number[]): number[] => [
    ...values,
    -values.reduce((sum, x) => sum + x, 0),
  ];
  return {
    task: close(free.slice(0, n)),
    severity: close(free.slice(n, n + k)),
    steps: free.slice(n + k),
  };
};

/** Coefficients of one observation's location on the free task and reviewer parameters. */
const locationColumns = (layout: Layout, task: number, reviewer: number): [number, number][] => {
  const n = layout.tasks.length - 1;
  const k = layout.reviewers - 1;
  const range = (count: number, from: number, value: number): [number, number][] =>
    Array.from({ length: count }, (_, i) => [from + i, value]);
  return [
    ...(task < n ? [[task, 1] as [number, number]] : range(n, 0, -1)),
    ...(reviewer < k ? [[n + reviewer, -1] as [number, number]] : range(k, n, 1)),
  ];
};

const newtonStep = (layout: Layout, free: readonly number[]): number[] => {
  const { task, severity, steps } = unpack(layout, free);
  const first = free.length - steps.length;
  const gradient = new Array<number>(free.length).fill(0);
  const information = Matrix.zeros(free.length, free.length);
  const add = (a: number, b: number, value: number): void => {
    information.set(a, b, information.get(a, b) + value);
  };
  for (const r of layout.ratings) {
    const p = categoryProbabilities((task[r.task] ?? 0) - (severity[r.reviewer] ?? 0), steps);
    const { mean, variance } = moments(p);
    const columns = locationColumns(layout, r.task, r.reviewer);
    const upper = steps.map((_, k) => p.slice(k + 1).reduce((sum, x) => sum + x, 0));
    const upperMean = steps.map((_, k) => p.reduce((sum, x, c) => sum + (c > k ? c * x : 0), 0));
    for (const [a, ca] of columns) {
      gradient[a] = (gradient[a] ?? 0) + ca * (r.category - mean);
      for (const [b, cb] of columns) add(a, b, ca * cb * variance);
      steps.forEach((_, k) => {
        const covariance = -ca * ((upperMean[k] ?? 0) - mean * (upper[k] ?? 0));
        add(a, first + k, covariance);
        add(first + k, a, covariance);
      });
    }
    steps.forEach((_, k) => {
      gradient[first + k] =
        (gradient[first + k] ?? 0) - ((r.category > k ? 1 : 0) - (upper[k] ?? 0));
      steps.forEach((__, l) => {
        add(first + k, first + l, (upper[Math.max(k, l)] ?? 0) - (upper[k] ?? 0) * (upper[l] ?? 0));
      });
    });
  }
  return solve(information, Matrix.columnVector(gradient)).getColumn(0);
};

const fitOf = (rows: readonly { residual: number; variance: number }[]): FitStatistics => ({
  infit:
    rows.reduce((sum, r) => sum + r.residual ** 2, 0) /
    rows.reduce((sum, r) => sum + r.variance, 0),
  outfit: rows.reduce((sum, r) => sum + r.residual ** 2 / r.variance, 0) / rows.length,
});

const layoutOf = (ratings: readonly FacetRating[], reviewers: number, top: number): Layout => {
  const byTask = new Map<number, number[]>();
  for (const r of ratings) byTask.set(r.task, [...(byTask.get(r.task) ?? []), r.category]);
  const tasks = [...byTask]
    .filter(([, c]) => !c.every((x) => x === 0) && !c.every((x) => x === top))
    .map(([task]) => task)
    .toSorted((a, b) => a - b);
  const index = new Map(tasks.map((task, i) => [task, i]));
  const kept = ratings.flatMap((r) => {
    const task = index.get(r.task);
    return task === undefined ? [] : [{ ...r, task }];
  });
  return { ratings: kept, tasks, reviewers, top };
};

/**
 * Joint maximum likelihood by Newton steps. `top` is the highest category. Undefined with fewer than two
 * usable tasks or reviewers, or when a category between the ends was never used (its step has no estimate).
 * Source: Andrich 1978 and Linacre 1989 (from memory); checked against an adjacent-category logit fit.
 */
export const ratingScaleModel = (
  ratings: readonly FacetRating[],
  tasks: number,
  reviewers: number,
  top: number,
): RatingScaleFit | undefined => {
  const layout = layoutOf(ratings, reviewers, top);
  const used = new Set(layout.ratings.map((r) => r.category));
  if (layout.tasks.length < 2 || reviewers < 2 || used.size !== top + 1) return undefined;
  let free = new Array<number>(layout.tasks.length - 1 + reviewers - 1 + top).fill(0);
  let converged = false;
  for (let i = 0; i < 200 && !converged; i++) {
    const step = newtonStep(layout, free);
    const largest = Math.max(...step.map(Math.abs));
    const length = largest > 1 ? 1 / largest : 1;
    free = free.map((x, j) => x + length * (step[j] ?? 0));
    converged = largest < 1e-10;
  }
  return describe(layout, free, tasks, converged);
};

const describe = (
  layout: Layout,
  free: readonly number[],
  tasks: number,
  converged: boolean,
): RatingScaleFit => {
  const { task, severity, steps } = unpack(layout, free);
  let logLikelihood = 0;
  const rows = layout.ratings.map((r) => {
    const p = categoryProbabilities((task[r.task] ?? 0) - (severity[r.reviewer] ?? 0), steps);
    const { mean, variance } = moments(p);
    logLikelihood += Math.log(p[r.category] ?? 0);
    return { ...r, residual: r.category - mean, variance };
  });
  const full = <T>(of: (index: number) => T): (T | undefined)[] =>
    Array.from({ length: tasks }, (_, t) => {
      const index = layout.tasks.indexOf(t);
      return index < 0 ? undefined : of(index);
    });
  return {
    task: full((i) => task[i] ?? 0),
    severity,
    steps,
    logLikelihood,
    taskFit: full((i) => fitOf(rows.filter((r) => r.task === i))),
    reviewerFit: severity.map((_, j) => fitOf(rows.filter((r) => r.reviewer === j))),
    converged,
  };
};
