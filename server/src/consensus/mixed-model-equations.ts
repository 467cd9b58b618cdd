import { CholeskyDecomposition, Matrix } from 'ml-matrix';

/** One random factor: the level (0-based) that each observation belongs to. */
export interface RandomFactor {
  levels: readonly number[];
  size: number;
}

/**
 * Henderson's mixed-model equations for y = mean + sum of random factors + residual, at given variances.
 * The largest factor is absorbed (its block is diagonal), so only the mean and the other factors are dense:
 * a table of n tasks and k reviewers costs O(n k^2), not O((n + k)^3).
 */
export interface Equations {
  y: readonly number[];
  factors: readonly RandomFactor[];
  /** Factors in order, residual last; all positive. */
  variances: readonly number[];
  /** Index of the absorbed factor, -1 without factors. */
  absorbed: number;
  /** First dense column of each factor (-1 for the absorbed one); column 0 is the mean. */
  offset: readonly number[];
  /** Diagonal of the absorbed block, and its coupling with the dense block. */
  diagonal: readonly number[];
  coupling: Matrix;
  /** Inverse of the Schur complement: the dense block of the inverse. */
  inverse: Matrix;
  logDeterminant: number;
}

/** Variance of the residual. */
export const residualVariance = (e: Pick<Equations, 'factors' | 'variances'>): number =>
  at(e.variances, e.factors.length);

const at = (values: readonly number[], index: number): number => {
  const value = values[index];
  if (value === undefined) throw new RangeError(`no element ${String(index)}`);
  return value;
};

/** Sets up and factorises the equations. Throws when the dense block is not positive definite. */
export const assembleEquations = (
  y: readonly number[],
  factors: readonly RandomFactor[],
  variances: readonly number[],
): Equations => {
  const absorbed = factors.reduce(
    (best, f, i) => (best < 0 || f.size > (factors[best]?.size ?? 0) ? i : best),
    -1,
  );
  let columns = 1;
  const offset = factors.map((f, i) => {
    if (i === absorbed) return -1;
    columns += f.size;
    return columns - f.size;
  });
  const frame = { y, factors, variances, absorbed, offset };
  const { diagonal, coupling, dense } = fill(frame, columns);
  absorb(dense, coupling, diagonal);
  const cholesky = new CholeskyDecomposition(dense);
  if (!cholesky.isPositiveDefinite()) throw new RangeError('mixed-model equations are singular');
  const logDeterminant =
    diagonal.reduce((sum, d) => sum + Math.log(d), 0) +
    2 * cholesky.lowerTriangularMatrix.diagonal().reduce((sum, d) => sum + Math.log(d), 0);
  const inverse = cholesky.solve(Matrix.eye(columns));
  return { ...frame, diagonal, coupling, inverse, logDeterminant };
};

type Frame = Pick<Equations, 'y' | 'factors' | 'variances' | 'absorbed' | 'offset'>;

/** Dense columns of one observation: the mean, and its level in every factor that is not absorbed. */
const columnsOf = (e: Frame, row: number): number[] => [
  0,
  ...e.factors.flatMap((f, i) => (i === e.absorbed ? [] : [at(e.offset, i) + at(f.levels, row)])),
];

const fill = (e: Frame, columns: number) => {
  const weight = 1 / residualVariance(e);
  const own = e.factors[e.absorbed];
  const diagonal = new Array<number>(own?.size ?? 0).fill(
    own ? 1 / at(e.variances, e.absorbed) : 0,
  );
  const coupling = Matrix.zeros(own?.size ?? 0, columns);
  const dense = Matrix.zeros(columns, columns);
  e.factors.forEach((f, i) => {
    for (let l = 0; i !== e.absorbed && l < f.size; l++) {
      const c = at(e.offset, i) + l;
      dense.set(c, c, 1 / at(e.variances, i));
    }
  });
  for (let row = 0; row < e.y.length; row++) {
    const cols = columnsOf(e, row);
    const level = own ? at(own.levels, row) : -1;
    if (level >= 0) diagonal[level] = at(diagonal, level) + weight;
    for (const a of cols) {
      if (level >= 0) coupling.set(level, a, coupling.get(level, a) + weight);
      for (const b of cols) dense.set(a, b, dense.get(a, b) + weight);
    }
  }
  return { diagonal, coupling, dense };
};

/** dense -= coupling' diagonal^-1 coupling, passing over the zeros of the incidence. */
const absorb = (dense: Matrix, coupling: Matrix, diagonal: readonly number[]): void => {
  for (let l = 0; l < diagonal.length; l++) {
    const row = coupling.getRow(l);
    const present = row.flatMap((x, a) => (x === 0 ? [] : [a]));
    for (const a of present) {
      // The product first: both triangles must round alike, the factorisation demands symmetry.
      for (const b of present) {
        dense.set(a, b, dense.get(a, b) - (at(row, a) * at(row, b)) / at(diagonal, l));
      }
    }
  }
};

/** Solution for one data vector: fitted factor effects, and P v = (v - fitted) / residual variance. */
export const solveEquations = (
  e: Equations,
  v: readonly number[],
): { effects: number[][]; projected: number[] } => {
  const residual = residualVariance(e);
  const own = e.factors[e.absorbed];
  const right = new Array<number>(e.inverse.rows).fill(0);
  const rightOwn = new Array<number>(e.diagonal.length).fill(0);
  v.forEach((value, row) => {
    for (const c of columnsOf(e, row)) right[c] = at(right, c) + value / residual;
    if (own) {
      const level = at(own.levels, row);
      rightOwn[level] = at(rightOwn, level) + value / residual;
    }
  });
  for (let l = 0; l < rightOwn.length; l++) {
    const scaled = at(rightOwn, l) / at(e.diagonal, l);
    for (let c = 0; c < right.length; c++) {
      right[c] = at(right, c) - e.coupling.get(l, c) * scaled;
    }
  }
  const dense = e.inverse.mmul(Matrix.columnVector(right)).getColumn(0);
  const ownEffects = rightOwn.map((r, l) => {
    let sum = r;
    for (let c = 0; c < dense.length; c++) sum -= e.coupling.get(l, c) * at(dense, c);
    return sum / at(e.diagonal, l);
  });
  const effects = e.factors.map((f, i) =>
    i === e.absorbed ? ownEffects : dense.slice(at(e.offset, i), at(e.offset, i) + f.size),
  );
  const projected = v.map((value, row) => {
    const fitted = e.factors.reduce(
      (sum, f, i) => sum + at(effects[i] ?? [], at(f.levels, row)),
      at(dense, 0),
    );
    return (value - fitted) / residual;
  });
  return { effects, projected };
};

/** Trace of each factor's block in the inverse of the whole system. */
export const inverseTraces = (e: Equations): number[] =>
  e.factors.map((f, i) => {
    let trace = 0;
    if (i !== e.absorbed) {
      const first = at(e.offset, i);
      for (let l = 0; l < f.size; l++) trace += e.inverse.get(first + l, first + l);
      return trace;
    }
    for (let l = 0; l < f.size; l++) {
      const d = at(e.diagonal, l);
      const row = e.coupling.getRow(l);
      const present = row.flatMap((x, a) => (x === 0 ? [] : [a]));
      let quadratic = 0;
      for (const a of present) {
        for (const b of present) quadratic += at(row, a) * e.inverse.get(a, b) * at(row, b);
      }
      trace += 1 / d + quadratic / (d * d);
    }
    return trace;
  });
