import { tQuantile, upperChi2, zQuantile } from './distributions.ts';

export type HeterogeneityMethod = 'DL' | 'REML' | 'PM';

/** A mean over evaluations that differ, with each evaluation drawn towards it. */
export interface RandomEffects {
  mu: number;
  /** Normal-theory standard error and 95 % limits. */
  se: number;
  limits: [number, number];
  /** Knapp-Hartung standard error and t limits; the ones to print. */
  adjusted: { se: number; limits: [number, number] };
  tau2: number;
  /** Share of the variance that is between evaluations, 0..1. */
  i2: number;
  q: number;
  qP: number;
  /** Drawn estimates and their standard errors (uncertainty of mu included), in the order given. */
  shrunken: { value: number; se: number }[];
  /** Normal-quantile prediction interval; shown from five evaluations. */
  prediction: [number, number];
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

const weighted = (y: readonly number[], v: readonly number[], tau2: number) => {
  const w = v.map((vi) => 1 / (vi + tau2));
  const total = sum(w);
  return { w, total, mu: sum(w.map((wi, i) => wi * (y[i] ?? 0))) / total };
};

const heterogeneityQ = (y: readonly number[], v: readonly number[], tau2: number): number => {
  const { w, mu } = weighted(y, v, tau2);
  return sum(w.map((wi, i) => wi * ((y[i] ?? 0) - mu) ** 2));
};

/** Source: DerSimonian & Laird 1986. */
const derSimonianLaird = (y: readonly number[], v: readonly number[]): number => {
  const { w, total } = weighted(y, v, 0);
  const scale = total - sum(w.map((wi) => wi * wi)) / total;
  return Math.max(0, (heterogeneityQ(y, v, 0) - (y.length - 1)) / scale);
};

/** Generalised Q equals its degrees of freedom. Source: Paule & Mandel 1982. Q falls as tau2 rises: bisection. */
const pauleMandel = (y: readonly number[], v: readonly number[]): number => {
  const df = y.length - 1;
  if (heterogeneityQ(y, v, 0) <= df) return 0;
  let low = 0;
  let high = 1;
  while (heterogeneityQ(y, v, high) > df) high *= 2;
  for (let i = 0; i < 200 && high - low > 1e-15 * high; i++) {
    const middle = (low + high) / 2;
    if (heterogeneityQ(y, v, middle) > df) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

/** Fisher scoring on the restricted likelihood of tau2. Source: Viechtbauer 2005. */
const restrictedLikelihood = (y: readonly number[], v: readonly number[]): number => {
  let tau2 = derSimonianLaird(y, v);
  for (let i = 0; i < 1000; i++) {
    const { w, total, mu } = weighted(y, v, tau2);
    const w2 = sum(w.map((x) => x * x));
    const w3 = sum(w.map((x) => x ** 3));
    const traceP = total - w2 / total;
    const traceP2 = w2 - (2 * w3) / total + (w2 / total) ** 2;
    const quadratic = sum(w.map((x, j) => x * x * ((y[j] ?? 0) - mu) ** 2));
    const next = Math.max(0, tau2 + (quadratic - traceP) / traceP2);
    const still = Math.abs(next - tau2) <= 1e-14 * Math.max(1, next);
    tau2 = next;
    if (still) break;
  }
  return tau2;
};

const between: Record<HeterogeneityMethod, (y: readonly number[], v: readonly number[]) => number> =
  { DL: derSimonianLaird, PM: pauleMandel, REML: restrictedLikelihood };

/**
 * Random-effects mean of estimates `y` with sampling variances `v` (all positive). Undefined for fewer than
 * two, or a variance that is not positive. With two, do not pool on screen.
 * Sources: REML Viechtbauer 2005; limits Knapp & Hartung 2003; shrinkage as metafor's blup.
 */
export const randomEffects = (
  y: readonly number[],
  v: readonly number[],
  method: HeterogeneityMethod = 'REML',
): RandomEffects | undefined => {
  const n = y.length;
  if (n < 2 || v.length !== n || v.some((vi) => !(vi > 0))) return undefined;
  const tau2 = between[method](y, v);
  const { w, total, mu } = weighted(y, v, tau2);
  const se = Math.sqrt(1 / total);
  const z = zQuantile(0.975);
  const t = tQuantile(0.975, n - 1);
  const adjustedSe = Math.sqrt(
    sum(w.map((wi, i) => wi * ((y[i] ?? 0) - mu) ** 2)) / (n - 1) / total,
  );
  const fixed = weighted(y, v, 0);
  const typical = (n - 1) / (fixed.total - sum(fixed.w.map((x) => x * x)) / fixed.total);
  const q = heterogeneityQ(y, v, 0);
  const spread = Math.sqrt(tau2 + se * se);
  return {
    mu,
    se,
    limits: [mu - z * se, mu + z * se],
    adjusted: { se: adjustedSe, limits: [mu - t * adjustedSe, mu + t * adjustedSe] },
    tau2,
    i2: tau2 / (tau2 + typical),
    q,
    qP: upperChi2(q, n - 1),
    shrunken: y.map((yi, i) => {
      const share = tau2 / (tau2 + (v[i] ?? 1));
      const variance = share * (v[i] ?? 1) + (1 - share) ** 2 * se * se;
      return { value: share * yi + (1 - share) * mu, se: Math.sqrt(variance) };
    }),
    prediction: [mu - z * spread, mu + z * spread],
  };
};
