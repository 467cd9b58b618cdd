import { rungDurations, type Rung } from './rung.ts';

/** A possible time to access and its probability. */
export interface AccessAtom {
  seconds: number;
  probability: number;
  /** Place of the rung that gave access, from 0. */
  rung: number;
}

/** The distribution of the time to access; what is missing to 1 never got access on this ladder. */
export interface AccessDistribution {
  /** Rising in time. */
  atoms: AccessAtom[];
  /** Probability that each rung is begun. */
  begun: number[];
  access: number;
}

/** Sums of each time so far and each duration, with their probabilities; equal times join. */
const convolve = (
  from: ReadonlyMap<number, number>,
  steps: readonly number[],
  n: number,
): Map<number, number> => {
  const sums = new Map<number, number>();
  for (const [start, weight] of from) {
    for (const step of steps) {
      // Times are read to a hundredth at best; binary noise must not keep equal ones apart.
      const at = Math.round((start + step) * 1e6) / 1e6;
      sums.set(at, (sums.get(at) ?? 0) + weight / n);
    }
  }
  return sums;
};

/**
 * Time to access when rung k begins as rung k - 1 fails or reaches its cap: success times of each rung after the
 * failed times of all before it, every combination as likely as its trials make it. Rungs are taken as independent of
 * one another: what made the screw seize is taken not to hinder the cutter. A rung without trials gives no access, so
 * everything after it is a lower bound; see `access-figures.ts`, which says so.
 */
export const accessDistribution = (rungs: readonly Rung[]): AccessDistribution => {
  const atoms: AccessAtom[] = [];
  const begun: number[] = [];
  let waiting = new Map<number, number>([[0, 1]]);
  for (const [place, rung] of rungs.entries()) {
    begun.push([...waiting.values()].reduce((sum, w) => sum + w, 0));
    const { done, failed } = rungDurations(rung);
    const n = done.length + failed.length;
    for (const [seconds, probability] of convolve(waiting, done, n)) {
      atoms.push({ seconds, probability, rung: place });
    }
    waiting = n === 0 ? new Map<number, number>() : convolve(waiting, failed, n);
  }
  atoms.sort((a, b) => a.seconds - b.seconds || a.rung - b.rung);
  return { atoms, begun, access: atoms.reduce((sum, a) => sum + a.probability, 0) };
};

/** Probability of access by `seconds`. */
export const accessBy = (distribution: AccessDistribution, seconds: number): number =>
  distribution.atoms.reduce((sum, a) => (a.seconds <= seconds ? sum + a.probability : sum), 0);

/** Shortest time by which access has at least probability `share`; undefined when it never has. */
export const accessQuantile = (
  distribution: AccessDistribution,
  share: number,
): number | undefined => {
  let sum = 0;
  for (const a of distribution.atoms) {
    sum += a.probability;
    if (sum >= share - 1e-12) return a.seconds;
  }
  return undefined;
};

/** The step curve of access against time: each step's time and the probability from then on, beginning at 0, 0. */
export const accessCurve = (
  distribution: AccessDistribution,
): { seconds: number; probability: number }[] => {
  const points = [{ seconds: 0, probability: 0 }];
  let sum = 0;
  for (const a of distribution.atoms) {
    sum += a.probability;
    const last = points.at(-1);
    if (last?.seconds === a.seconds) last.probability = sum;
    else points.push({ seconds: a.seconds, probability: sum });
  }
  return points;
};
