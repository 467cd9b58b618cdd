import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { ModelDesign } from './mixed-model-design.ts';

/** Henderson's mixed-model equations of a design at given variances, factorised. */
export interface Equations {
  design: ModelDesign;
  /** Factors in order, residual last; all positive. */
  variances: readonly number[];
  /** Diagonal of the absorbed block, one entry a level. */
  diagonal: Float64Array;
  /** Inverse of the dense block after absorption (columns x columns). */
  inverse: Float64Array;
  logDeterminant: number;
}

/** Variance of the residual. */
export const residualVariance = (e: Pick<Equations, 'design' | 'variances'>): number =>
  e.variances[e.design.factors.length] ?? 0;

/** Dense columns that a level of the absorbed factor shares an observation with. */
const touched = (d: ModelDesign, level: number): number[] => {
  const columns: number[] = [];
  for (let c = 0; c < d.columns; c++) {
    if ((d.coupling[level * d.columns + c] ?? 0) !== 0) columns.push(c);
  }
  return columns;
};

/** Sets up and factorises the equations; undefined when they are singular to working precision. */
export const assembleEquations = (
  design: ModelDesign,
  variances: readonly number[],
): Equations | undefined => {
  const { columns, counts } = design;
  const residual = residualVariance({ design, variances });
  const ridge = design.absorbed < 0 ? 0 : 1 / (variances[design.absorbed] ?? 0);
  const diagonal = counts.map((n) => n / residual + ridge);
  const dense = absorbed(design, diagonal, residual);
  design.factors.forEach((f, i) => {
    const first = design.offset[i] ?? -1;
    for (let l = 0; first >= 0 && l < f.size; l++) {
      const c = (first + l) * (columns + 1);
      dense[c] = (dense[c] ?? 0) + 1 / (variances[i] ?? 0);
    }
  });
  const cholesky = new CholeskyDecomposition(Matrix.from1DArray(columns, columns, [...dense]));
  if (!cholesky.isPositiveDefinite()) return undefined;
  const lower = cholesky.lowerTriangularMatrix.diagonal();
  const logDeterminant =
    diagonal.reduce((sum, d) => sum + Math.log(d), 0) +
    2 * lower.reduce((sum, d) => sum + Math.log(d), 0);
  const inverse = Float64Array.from(cholesky.solve(Matrix.eye(columns)).to1DArray());
  return { design, variances, diagonal, inverse, logDeterminant };
};

/** The dense block less coupling' diagonal^-1 coupling; both triangles alike, as the factorisation demands. */
const absorbed = (d: ModelDesign, diagonal: Float64Array, residual: number): Float64Array => {
  const { columns } = d;
  const dense = d.dense.map((n) => n / residual);
  for (let l = 0; l < diagonal.length; l++) {
    const scale = 1 / (residual * residual * (diagonal[l] ?? 0));
    const present = touched(d, l);
    for (let i = 0; i < present.length; i++) {
      const a = present[i] ?? 0;
      const weight = scale * (d.coupling[l * columns + a] ?? 0);
      for (let j = i; j < present.length; j++) {
        const cell = a * columns + (present[j] ?? 0);
        dense[cell] =
          (dense[cell] ?? 0) - weight * (d.coupling[l * columns + (present[j] ?? 0)] ?? 0);
      }
    }
  }
  for (let a = 0; a < columns; a++) {
    for (let b = 0; b < a; b++) dense[a * columns + b] = dense[b * columns + a] ?? 0;
  }
  return dense;
};

/** Right-hand sides of one data vector: the dense columns, and the levels of the absorbed factor. */
const rightSides = (e: Equations, v: ArrayLike<number>) => {
  const { design } = e;
  const residual = residualVariance(e);
  const dense = new Float64Array(design.columns);
  const own = new Float64Array(e.diagonal.length);
  for (let row = 0; row < design.observations; row++) {
    const value = (v[row] ?? 0) / residual;
    dense[0] = (dense[0] ?? 0) + value;
    for (const place of design.places) {
      const c = place[row] ?? 0;
      dense[c] = (dense[c] ?? 0) + value;
    }
    if (own.length > 0) {
      const level = design.own[row] ?? 0;
      own[level] = (own[level] ?? 0) + value;
    }
  }
  return { dense, own };
};

/** Solution for one data vector: fitted factor effects, and P v = (v - fitted) / residual variance. */
export const solveEquations = (
  e: Equations,
  v: ArrayLike<number>,
): { effects: Float64Array[]; projected: Float64Array<ArrayBuffer> } => {
  const { design, diagonal } = e;
  const { columns, coupling } = design;
  const residual = residualVariance(e);
  const right = rightSides(e, v);
  for (let l = 0; l < diagonal.length; l++) {
    const scaled = (right.own[l] ?? 0) / ((diagonal[l] ?? 0) * residual);
    for (let c = 0; c < columns; c++) {
      right.dense[c] = (right.dense[c] ?? 0) - (coupling[l * columns + c] ?? 0) * scaled;
    }
  }
  const dense = new Float64Array(columns);
  for (let a = 0; a < columns; a++) {
    let sum = 0;
    for (let b = 0; b < columns; b++)
      sum += (e.inverse[a * columns + b] ?? 0) * (right.dense[b] ?? 0);
    dense[a] = sum;
  }
  const own = right.own.map((r, l) => {
    let sum = 0;
    for (let c = 0; c < columns; c++) sum += (coupling[l * columns + c] ?? 0) * (dense[c] ?? 0);
    return (r - sum / residual) / (diagonal[l] ?? 0);
  });
  const effects = design.factors.map((f, i) =>
    i === design.absorbed ? own : dense.slice(design.offset[i], (design.offset[i] ?? 0) + f.size),
  );
  return { effects, projected: project(e, v, dense, own) };
};

const project = (
  { design, variances }: Equations,
  v: ArrayLike<number>,
  dense: Float64Array,
  own: Float64Array,
): Float64Array<ArrayBuffer> => {
  const residual = residualVariance({ design, variances });
  const projected = new Float64Array(design.observations);
  for (let row = 0; row < projected.length; row++) {
    let fitted = (dense[0] ?? 0) + (own.length > 0 ? (own[design.own[row] ?? 0] ?? 0) : 0);
    for (const place of design.places) fitted += dense[place[row] ?? 0] ?? 0;
    projected[row] = ((v[row] ?? 0) - fitted) / residual;
  }
  return projected;
};

/** Trace of each factor's block in the inverse of the whole system. */
export const inverseTraces = (e: Equations): number[] =>
  e.design.factors.map((f, i) =>
    i === e.design.absorbed ? ownTrace(e) : denseTrace(e, f.size, i),
  );

const denseTrace = (e: Equations, size: number, factor: number): number => {
  const first = e.design.offset[factor] ?? 0;
  let trace = 0;
  for (let l = 0; l < size; l++) trace += e.inverse[(first + l) * (e.design.columns + 1)] ?? 0;
  return trace;
};

const ownTrace = (e: Equations): number => {
  const { design, diagonal, inverse } = e;
  const { columns, coupling } = design;
  const residual = residualVariance(e);
  let trace = 0;
  for (let l = 0; l < diagonal.length; l++) {
    const d = (diagonal[l] ?? 0) * residual;
    const present = touched(design, l);
    let quadratic = 0;
    for (const a of present) {
      let row = 0;
      for (const b of present)
        row += (inverse[a * columns + b] ?? 0) * (coupling[l * columns + b] ?? 0);
      quadratic += row * (coupling[l * columns + a] ?? 0);
    }
    trace += 1 / (diagonal[l] ?? 0) + quadratic / (d * d);
  }
  return trace;
};
