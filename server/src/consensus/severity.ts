import { inverse, Matrix } from 'ml-matrix';

/** The additive model x = mu + task + reviewer + e, least squares on the present cells of one table. */
export interface SeverityFit {
  /** Groups of tasks and reviewers that no rating ties together; with more than one, nothing is estimated. */
  components: number;
  grandMean: number | undefined;
  /** Per reviewer, sum zero: positive means rates higher than the panel. Undefined for one without ratings. */
  effects: (number | undefined)[];
  effectErrors: (number | undefined)[];
  /** Per task: what the panel would have said with every habit taken out. Undefined without ratings. */
  fair: (number | undefined)[];
  fairErrors: (number | undefined)[];
  /** Residual standard deviation, and its degrees of freedom; undefined when saturated. */
  sigma: number | undefined;
  df: number | undefined;
  /** F test of "all reviewers have the same habit". */
  f: number | undefined;
  df1: number;
}

type Cells = readonly (readonly (number | undefined)[])[];

interface Incidence {
  rows: { task: number; cells: { column: number; value: number }[]; mean: number }[];
  columns: number[];
}

const incidenceOf = (cells: Cells): Incidence => {
  const seen = new Set<number>();
  const rows = cells.flatMap((row, task) => {
    const present = row.flatMap((value, column) =>
      value === undefined ? [] : [{ column, value }],
    );
    if (present.length === 0) return [];
    for (const cell of present) seen.add(cell.column);
    const mean = present.reduce((sum, cell) => sum + cell.value, 0) / present.length;
    return [{ task, cells: present, mean }];
  });
  return { rows, columns: [...seen].toSorted((a, b) => a - b) };
};

/** How many groups of reviewers no common task connects, by union of the reviewers of each task. */
const countComponents = ({ rows, columns }: Incidence): number => {
  const parent = new Map(columns.map((c) => [c, c]));
  const root = (c: number): number => {
    const up = parent.get(c) ?? c;
    return up === c ? c : root(up);
  };
  for (const row of rows) {
    const first = row.cells[0]?.column ?? 0;
    for (const cell of row.cells) parent.set(root(cell.column), root(first));
  }
  return new Set(columns.map(root)).size;
};

/** Pseudo-inverse of the reviewers' Laplacian after the tasks are absorbed, and its right-hand side. */
const reduced = ({ rows, columns }: Incidence) => {
  const k = columns.length;
  const index = new Map(columns.map((c, j) => [c, j]));
  const laplacian = Matrix.zeros(k, k);
  const right = new Array<number>(k).fill(0);
  for (const row of rows) {
    const where = row.cells.map((cell) => index.get(cell.column) ?? 0);
    row.cells.forEach((cell, a) => {
      const i = where[a] ?? 0;
      right[i] = (right[i] ?? 0) + cell.value - row.mean;
      laplacian.set(i, i, laplacian.get(i, i) + 1);
      for (const j of where) laplacian.set(i, j, laplacian.get(i, j) - 1 / row.cells.length);
    });
  }
  const pseudo = inverse(Matrix.add(laplacian, 1 / k)).sub(1 / k);
  return { index, pseudo, effects: pseudo.mmul(Matrix.columnVector(right)).getColumn(0) };
};

/**
 * Reviewer severity and fair task values on an incomplete table (rows tasks, columns reviewers).
 * Errors come from the residual mean square; a saturated table has none. Undefined without two ratings.
 * Source: two-way additive least squares, e.g. Searle, Linear Models, 1971 (from memory); checked
 * against R's lm.
 */
export const severity = (cells: Cells): SeverityFit | undefined => {
  const incidence = incidenceOf(cells);
  const { rows, columns } = incidence;
  const count = rows.reduce((sum, row) => sum + row.cells.length, 0);
  if (count < 2) return undefined;
  const width = cells.reduce((most, row) => Math.max(most, row.length), 0);
  const components = countComponents(incidence);
  const empty: SeverityFit = {
    components,
    grandMean: undefined,
    effects: new Array<undefined>(width).fill(undefined),
    effectErrors: new Array<undefined>(width).fill(undefined),
    fair: cells.map(() => undefined),
    fairErrors: cells.map(() => undefined),
    sigma: undefined,
    df: undefined,
    f: undefined,
    df1: columns.length - 1,
  };
  if (components > 1) return empty;
  return estimate(incidence, count, empty);
};

const estimate = (incidence: Incidence, count: number, empty: SeverityFit): SeverityFit => {
  const { rows, columns } = incidence;
  const { index, pseudo, effects } = reduced(incidence);
  const effectOf = (column: number): number => effects[index.get(column) ?? 0] ?? 0;
  const fit: SeverityFit = {
    ...empty,
    effects: [...empty.effects],
    effectErrors: [...empty.effectErrors],
    fair: [...empty.fair],
    fairErrors: [...empty.fairErrors],
  };
  let rss = 0;
  let rssWithout = 0;
  for (const row of rows) {
    const fair =
      row.mean - row.cells.reduce((sum, c) => sum + effectOf(c.column), 0) / row.cells.length;
    fit.fair[row.task] = fair;
    for (const cell of row.cells) {
      rss += (cell.value - fair - effectOf(cell.column)) ** 2;
      rssWithout += (cell.value - row.mean) ** 2;
    }
  }
  for (const c of columns) fit.effects[c] = effectOf(c);
  fit.grandMean = rows.reduce((sum, row) => sum + (fit.fair[row.task] ?? 0), 0) / rows.length;
  const df = count - rows.length - columns.length + 1;
  fit.df = df;
  if (df < 1) return fit;
  const variance = rss / df;
  fit.sigma = Math.sqrt(variance);
  if (fit.df1 > 0 && variance > 0) fit.f = (rssWithout - rss) / fit.df1 / variance;
  columns.forEach((c, j) => {
    fit.effectErrors[c] = Math.sqrt(variance * pseudo.get(j, j));
  });
  for (const row of rows) {
    const m = row.cells.length;
    let quadratic = 0;
    for (const a of row.cells) {
      for (const b of row.cells) {
        quadratic += pseudo.get(index.get(a.column) ?? 0, index.get(b.column) ?? 0);
      }
    }
    fit.fairErrors[row.task] = Math.sqrt(variance * (1 / m + quadratic / (m * m)));
  }
  return fit;
};
