import type { ComparedEvaluation, ComparedPair } from '@unhindered/shared-types';
import { rounded, signed } from '../format/number.ts';
import { words } from '../words/catalogue.ts';

/** A piece with the letter that stands for it. */
export type Lettered = ComparedEvaluation & { letter: string };

export const two = (value: number): string => rounded(value, 2);

/** A p value: three decimals, or less than the last of them. */
export const pText = (p: number): string => (p < 0.001 ? `< ${rounded(0.001, 3)}` : rounded(p, 3));

/** The pair seen from the other side. */
export const turned = (pair: ComparedPair): ComparedPair => {
  if (!pair.comparable) return { ...pair, a: pair.b, b: pair.a };
  const { a, b, mean, lower, upper, superiority, sameReviewers: same } = pair;
  return {
    ...pair,
    a: b,
    b: a,
    mean: -mean,
    lower: -upper,
    upper: -lower,
    superiority: 1 - superiority,
    sameReviewers: same && { n: same.n, mean: -same.mean, lower: -same.upper, upper: -same.lower },
  };
};

/** "+0.42, 95 % +0.10 to +0.74". */
export const differenceText = (d: { mean: number; lower: number; upper: number }): string =>
  `${signed(d.mean)}, 95 % ${words.compare.interval(signed(d.lower), signed(d.upper))}`;
