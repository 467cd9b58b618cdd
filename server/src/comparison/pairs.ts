import type { ComparedPair } from '@unhindered/shared-types';
import { twoSidedT } from '../consensus/distributions.ts';
import { holm } from '../consensus/holm.ts';
import { pairedDifference } from '../consensus/paired-difference.ts';
import { pairedSuperiority } from '../consensus/superiority.ts';
import { sameVersion, type Piece } from './piece.ts';

const NOT_COMPARABLE = {
  version:
    'Not comparable: the two were judged under different protocol versions, which may ask for different tasks, anchors or weights.',
  withdrawn: 'Not comparable: a record of the two was withdrawn.',
  few: 'Not comparable: fewer than two tasks were settled in both.',
  still: 'No interval: the difference is the same on every common task.',
} as const;

type Values = readonly (readonly [number, number])[];

/** Values of what both have, `a` first, in the order of `a`. */
const common = (
  a: readonly { key: string; value: number }[],
  b: readonly { key: string; value: number }[],
): Values => {
  const other = new Map(b.map(({ key, value }) => [key, value]));
  return a.flatMap(({ key, value }) => {
    const match = other.get(key);
    return match === undefined ? [] : [[value, match] as const];
  });
};

const byTask = (p: Piece) => p.tasks.map(({ task: key, value }) => ({ key, value }));
const bySeat = (p: Piece) => p.byReviewer.map(({ seat: key, value }) => ({ key, value }));

/** The difference over reviewers who rated both. A seat is one person in one panel; elsewhere nobody is the same. */
const sameReviewers = (a: Piece, b: Piece) => {
  const found = pairedDifference(common(bySeat(a), bySeat(b)));
  if (!found) return null;
  const { n, mean, limits } = found;
  return { n, mean, lower: limits[0], upper: limits[1] };
};

/**
 * CA-3: evaluations under different protocol versions are never paired, whatever their tasks are called; the answer
 * says that they are not comparable. Nor is a withdrawn record compared with anything.
 */
const comparePair = (a: Piece, b: Piece): ComparedPair => {
  const ids = { a: a.evaluation, b: b.evaluation };
  const cannot = (why: string): ComparedPair => ({ ...ids, comparable: false, why });
  if (!sameVersion(a, b)) return cannot(NOT_COMPARABLE.version);
  if (a.state.kind === 'withdrawn' || b.state.kind === 'withdrawn') {
    return cannot(NOT_COMPARABLE.withdrawn);
  }
  const values = common(byTask(a), byTask(b));
  const difference = pairedDifference(values);
  const superiority = pairedSuperiority(values);
  if (!difference || superiority === undefined) return cannot(NOT_COMPARABLE.few);
  const { n, mean, t, limits } = difference;
  if (t === undefined && mean !== 0) return cannot(NOT_COMPARABLE.still);
  const p = t === undefined ? 1 : twoSidedT(t, n - 1);
  return {
    ...ids,
    comparable: true,
    tasks: n,
    mean,
    lower: limits[0],
    upper: limits[1],
    superiority,
    p,
    holm: p,
    sameReviewers: sameReviewers(a, b),
  };
};

/**
 * CA-6: every pair asked for is a claim, so the p of each is corrected for all of them (Holm).
 * Differences are over common tasks taken as a sample of what could be asked, in scale points.
 */
export const comparePairs = (pairs: readonly (readonly [Piece, Piece])[]): ComparedPair[] => {
  const compared = pairs.map(([a, b]) => comparePair(a, b));
  const adjusted = holm(compared.flatMap((c) => (c.comparable ? [c.p] : [])));
  let next = 0;
  return compared.map((c) => (c.comparable ? { ...c, holm: adjusted[next++] ?? 1 } : c));
};

/** Every two of the pieces, each once. */
export const allPairs = (pieces: readonly Piece[]): [Piece, Piece][] =>
  pieces.flatMap((a, i) => pieces.slice(i + 1).map((b): [Piece, Piece] => [a, b]));
