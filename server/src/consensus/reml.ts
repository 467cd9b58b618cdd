import { LuDecomposition, Matrix } from 'ml-matrix';
import { modelDesign, type ModelDesign, type RandomFactor } from './mixed-model-design.ts';
import {
  assembleEquations,
  inverseTraces,
  residualVariance,
  solveEquations,
} from './mixed-model-equations.ts';

/** Restricted maximum likelihood estimates; `factors` in the order given, those at the border exactly 0. */
export interface RemlFit {
  factors: number[];
  residual: number;
  /** How many components ended at zero. */
  atZero: number;
  minusTwoLogLikelihood: number;
  iterations: number;
}

interface Step {
  minusTwoLogLikelihood: number;
  score: number[];
  information: Matrix;
  em: number[];
}

const EM_STEPS = 4;
const MAX_STEPS = 400;
/** A component below this share of the total variance is taken to be at the border. */
const BORDER = 1e-9;
const TOLERANCE = 1e-13;

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const dot = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let total = 0;
  for (let i = 0; i < a.length; i++) total += (a[i] ?? 0) * (b[i] ?? 0);
  return total;
};

/** Each observation's fitted effect over its variance. */
const spread = (
  levels: readonly number[],
  effects: ArrayLike<number>,
  variance: number,
): Float64Array<ArrayBuffer> => {
  const values = new Float64Array(levels.length);
  for (let row = 0; row < values.length; row++) {
    values[row] = (effects[levels[row] ?? 0] ?? 0) / variance;
  }
  return values;
};

const evaluate = (
  y: Float64Array,
  design: ModelDesign,
  variances: readonly number[],
): Step | undefined => {
  const { factors } = design;
  const e = variances.every((v) => v > 0) ? assembleEquations(design, variances) : undefined;
  if (!e) return undefined;
  const residual = residualVariance(e);
  const { effects, projected } = solveEquations(e, y);
  const traces = inverseTraces(e);
  const lost = factors.map((f, i) => f.size - (traces[i] ?? 0) / (variances[i] ?? 1));
  const degrees = y.length - 1;
  const score = factors.map((_, i) => {
    const s = variances[i] ?? 1;
    const u = effects[i] ?? [];
    return -0.5 * ((lost[i] ?? 0) / s - dot(u, u) / (s * s));
  });
  score.push(-0.5 * ((degrees - sum(lost)) / residual - dot(projected, projected)));
  const working = factors.map((f, i) => spread(f.levels, effects[i] ?? [], variances[i] ?? 1));
  working.push(projected);
  const swept = working.map((w) => solveEquations(e, w).projected);
  const information = new Matrix(working.map((w) => swept.map((s) => 0.5 * dot(w, s))));
  const em = factors.map((f, i) => {
    const u = effects[i] ?? [];
    return (dot(u, u) + (traces[i] ?? 0)) / f.size;
  });
  em.push((residual * dot(projected, y)) / degrees);
  const minusTwoLogLikelihood =
    y.length * Math.log(residual) +
    factors.reduce((total, f, i) => total + f.size * Math.log(variances[i] ?? 1), 0) +
    e.logDeterminant +
    dot(projected, y);
  return { minusTwoLogLikelihood, score, information, em };
};

interface Fit {
  variances: readonly number[];
  step: Step;
}

/**
 * Where a Newton step goes; empty for nowhere. A factor whose effects are all exactly zero carries no information on its
 * component: where the likelihood rises towards zero, it goes there.
 */
const directionOf = (
  variances: readonly number[],
  { score, information }: Step,
): readonly number[] => {
  const lu = new LuDecomposition(information);
  if (!lu.isSingular()) return lu.solve(Matrix.columnVector(score)).getColumn(0);
  const silent = variances.map((_, i) => information.get(i, i) === 0 && (score[i] ?? 0) < 0);
  return silent.includes(true) ? variances.map((v, i) => (silent[i] ? -v : 0)) : [];
};

/** A Newton step by average information, shortened until it stays inside and the likelihood does not fall. */
const newton = (
  y: Float64Array,
  design: ModelDesign,
  { variances, step }: Fit,
): Fit | undefined => {
  const direction = directionOf(variances, step);
  for (let length = 1; direction.length > 0 && length > 1e-4; length /= 2) {
    const tried = variances.map((v, i) => Math.max(v + length * (direction[i] ?? 0), v / 1000));
    const next = evaluate(y, design, tried);
    const slack = 1e-10 * (1 + Math.abs(step.minusTwoLogLikelihood));
    if (next && next.minusTwoLogLikelihood <= step.minusTwoLogLikelihood + slack) {
      return { variances: tried, step: next };
    }
  }
  return expectation(y, design, step);
};

/** One step of expectation and maximisation: slow, but it never leaves the inside. */
const expectation = (y: Float64Array, design: ModelDesign, { em }: Step): Fit | undefined => {
  const step = evaluate(y, design, em);
  return step && { variances: em, step };
};

interface Outcome extends Fit {
  /** The component that ran into zero (the residual last); -1 for none. */
  border: number;
  iterations: number;
}

const maximise = (
  y: Float64Array,
  factors: readonly RandomFactor[],
  start: readonly number[],
): Outcome | undefined => {
  const design = modelDesign(y.length, factors);
  const first = evaluate(y, design, start);
  let fit: Fit | undefined = first && { variances: start, step: first };
  for (let i = 0; fit && i < MAX_STEPS; i++) {
    const { variances }: Fit = fit;
    fit = i < EM_STEPS ? expectation(y, design, fit.step) : newton(y, design, fit);
    if (!fit) break;
    const total = sum(fit.variances);
    const moved = Math.max(...fit.variances.map((v, j) => Math.abs(v - (variances[j] ?? 0))));
    const border = fit.variances.findIndex((v) => v < BORDER * total);
    if (border >= 0 || moved < TOLERANCE * total) return { ...fit, border, iterations: i + 1 };
  }
  return fit && { ...fit, border: -1, iterations: MAX_STEPS };
};

/**
 * REML variance components of y = mean + random factors + residual, for balanced or unbalanced data.
 * A component that reaches zero is dropped and the rest fitted again, since the others change.
 * Undefined when y has fewer than two observations, does not vary, or leaves no residual: then the likelihood
 * rises without end.
 * Source: Patterson & Thompson 1971 (criterion); Gilmour, Thompson & Cullis 1995 (average information),
 * both from memory; checked against lme4 and an independent Fisher-scoring fit.
 */
export const reml = (
  y: readonly number[],
  factors: readonly RandomFactor[],
): RemlFit | undefined => {
  const mean = sum(y) / y.length;
  const variance = sum(y.map((v) => (v - mean) ** 2)) / (y.length - 1);
  if (y.length < 2 || !(variance > 0)) return undefined;
  const centred = Float64Array.from(y).map((v) => v - mean);
  let kept = factors.map((_, i) => i);
  let iterations = 0;
  for (;;) {
    const active = kept.map((i) => factors[i]).filter((f) => f !== undefined);
    const start = new Array<number>(active.length + 1).fill(variance / (active.length + 1));
    const fit = maximise(centred, active, start);
    // The likelihood has no maximum where the factors explain everything.
    if (!fit || fit.border === active.length) return undefined;
    iterations += fit.iterations;
    if (fit.border < 0) {
      return {
        factors: factors.map((_, i) => fit.variances[kept.indexOf(i)] ?? 0),
        residual: fit.variances[active.length] ?? 0,
        atZero: factors.length - kept.length,
        minusTwoLogLikelihood: fit.step.minusTwoLogLikelihood,
        iterations,
      };
    }
    kept = kept.filter((_, j) => j !== fit.border);
  }
};
