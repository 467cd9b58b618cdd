import type { PooledClass } from '@unhindered/shared-types';
import { tQuantile } from '../consensus/distributions.ts';
import { randomEffects } from '../consensus/random-effects.ts';
import { standing } from '../consensus/superiority.ts';
import { classKey, numberOf, type Piece } from './piece.ts';

/** Fewest evaluations that are pooled, and from which a prediction is shown. */
const POOL_FROM = 3;
const PREDICT_FROM = 5;
/** Fewest others among which a standing says anything. */
const STAND_FROM = 10;

/** Composite of mean ratings with its sampling variance; undefined without an interval of any width. */
const weighed = (
  p: Piece,
  quantile: (df: number) => number,
): { y: number; v: number } | undefined => {
  const y = numberOf(p.means);
  const k = p.byReviewer.length;
  if (y === undefined || k < 2 || !('lower' in p.interval)) return undefined;
  const half = (Number(p.interval.upper) - Number(p.interval.lower)) / 2;
  const se = half / quantile(k - 1);
  return se > 0 ? { y, v: se * se } : undefined;
};

/** The 97.5 % quantile of t by its degrees of freedom, each computed once: panels are of few sizes. */
const quantiles = (): ((df: number) => number) => {
  const known = new Map<number, number>();
  return (df) => {
    const found = known.get(df) ?? tQuantile(0.975, df);
    known.set(df, found);
    return found;
  };
};

/** A class with each of its members drawn towards the mean. */
export interface Pooling {
  summary: PooledClass;
  /** By evaluation. */
  shrunken: ReadonlyMap<string, { value: number; se: number }>;
}

/**
 * CA-4: a class holds the current evaluations of one kind under one protocol version; superseded and withdrawn ones
 * are left out of it. Fewer than three are not pooled, and a prediction needs five.
 * REML with Knapp-Hartung limits; each member's variance is read back from the interval of its record.
 */
export const poolClass = (members: readonly Piece[]): Pooling | undefined => {
  const [first] = members;
  if (!first) return undefined;
  const quantile = quantiles();
  const used = members.flatMap((piece) => {
    const own = weighed(piece, quantile);
    return own ? [{ piece, ...own }] : [];
  });
  const summary = {
    kind: first.specimen.kind,
    protocol: { id: first.protocol.id, version: first.protocol.version },
    n: used.length,
    leftOut: members.length - used.length,
  };
  const found =
    used.length < POOL_FROM
      ? undefined
      : randomEffects(
          used.map((u) => u.y),
          used.map((u) => u.v),
        );
  if (!found) {
    const why = `Not pooled: fewer than ${String(POOL_FROM)} current evaluations with an interval.`;
    return { summary: { ...summary, pooled: { why } }, shrunken: new Map() };
  }
  const { mu, adjusted, tau2, i2, prediction } = found;
  const [lower, upper] = adjusted.limits;
  const [low, high] = prediction;
  return {
    summary: {
      ...summary,
      pooled: {
        mean: mu,
        lower,
        upper,
        tau: Math.sqrt(tau2),
        i2,
        prediction: used.length >= PREDICT_FROM ? { lower: low, upper: high } : null,
      },
    },
    shrunken: new Map(
      used.map(({ piece }, i) => [piece.evaluation, found.shrunken[i] ?? { value: mu, se: 0 }]),
    ),
  };
};

/** The current evaluations of each class, by its key. */
export const classesOf = (all: readonly Piece[]): Map<string, Piece[]> => {
  const classes = new Map<string, Piece[]>();
  for (const piece of all) {
    if (piece.state.kind !== 'current') continue;
    const key = classKey(piece);
    const members = classes.get(key);
    if (members) members.push(piece);
    else classes.set(key, [piece]);
  }
  return classes;
};

/** CA-5: a standing is shown among ten others or more, and never without their number. */
export const standingIn = (
  piece: Piece,
  members: readonly Piece[],
): { value: number; others: number } | { why: string } => {
  const own = numberOf(piece.composite);
  const others = members
    .filter((m) => m.evaluation !== piece.evaluation)
    .flatMap((m) => numberOf(m.composite) ?? []);
  if (own === undefined) return { why: 'It has no composite.' };
  if (others.length < STAND_FROM) {
    return {
      why: `Only ${String(others.length)} others in its class; a standing is shown among ten or more.`,
    };
  }
  return { value: standing(own, others) ?? 0, others: others.length };
};
