import gammainc from '@stdlib/math-base-special-gammainc';
import betaCdf from '@stdlib/stats-base-dists-beta-cdf';
import fQuantile from '@stdlib/stats-base-dists-f-quantile';
import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import tQuantileOf from '@stdlib/stats-base-dists-t-quantile';

/** Student's t quantile; `df` may be fractional. */
export const tQuantile = (p: number, df: number): number => tQuantileOf(p, df);

/** F quantile; degrees of freedom may be fractional. */
export const quantileF = (p: number, df1: number, df2: number): number => fQuantile(p, df1, df2);

/** Standard normal quantile. */
export const zQuantile = (p: number): number => normalQuantile(p, 0, 1);

/** P(F > x), by the beta function: 1 - cdf loses every digit in the far tail. */
export const upperF = (x: number, df1: number, df2: number): number =>
  x <= 0 ? 1 : betaCdf(df2 / (df2 + df1 * x), df2 / 2, df1 / 2);

/** P(|T| > |t|). */
export const twoSidedT = (t: number, df: number): number => betaCdf(df / (df + t * t), df / 2, 0.5);

/** P(chi-square > x), regularised upper incomplete gamma. */
export const upperChi2 = (x: number, df: number): number =>
  x <= 0 ? 1 : gammainc(x / 2, df / 2, true, true);

/** P(|Z| > |z|). */
export const twoSidedZ = (z: number): number => 2 * normalCdf(-Math.abs(z), 0, 1);

/** P(Z < z). */
export const lowerZ = (z: number): number => normalCdf(z, 0, 1);
