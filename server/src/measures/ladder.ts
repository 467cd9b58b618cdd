import { rungOutcomes, type Rung, type RungOutcomes } from './rung.ts';

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

/** Every way to access, by rising time: which outcome each rung had, up to the one that gave access. */
export interface LadderPaths {
  rungs: RungOutcomes[];
  seconds: Float64Array;
  /** Place of the rung that gave access. */
  last: Int32Array;
  /** As many numbers a path as there are rungs: the outcome of each, 0 after the last. */
  steps: Int32Array;
}

/**
 * All ways to access when rung k begins as rung k - 1 fails or reaches its cap. The times do not depend on how likely
 * the ways are, so resamples share them.
 */
export const ladderPaths = (ladder: readonly Rung[]): LadderPaths => {
  const rungs = ladder.map(rungOutcomes);
  const paths: { seconds: number; steps: number[] }[] = [];
  let waiting: typeof paths = [{ seconds: 0, steps: [] }];
  for (const { outcomes } of rungs) {
    const next: typeof paths = [];
    for (const { seconds, steps } of waiting) {
      for (const [place, outcome] of outcomes.entries()) {
        // Times are read to a hundredth at best; binary noise must not keep equal ones apart.
        const at = Math.round((seconds + outcome.seconds) * 1e6) / 1e6;
        (outcome.done ? paths : next).push({ seconds: at, steps: [...steps, place] });
      }
    }
    waiting = next;
  }
  paths.sort((a, b) => a.seconds - b.seconds || a.steps.length - b.steps.length);
  const steps = new Int32Array(paths.length * rungs.length);
  for (const [i, path] of paths.entries()) steps.set(path.steps, i * rungs.length);
  return {
    rungs,
    seconds: Float64Array.from(paths, (path) => path.seconds),
    last: Int32Array.from(paths, (path) => path.steps.length - 1),
    steps,
  };
};

/** How often each outcome of each rung came, by trials given by their places. */
export const outcomeShares = (
  { rungs }: LadderPaths,
  trialsOf: (rung: number) => readonly number[],
): number[][] =>
  rungs.map(({ outcomes, ofTrial }, k) => {
    const shares = outcomes.map(() => 0);
    const trials = trialsOf(k);
    for (const trial of trials) {
      const place = ofTrial[trial] ?? 0;
      shares[place] = (shares[place] ?? 0) + 1 / trials.length;
    }
    return shares;
  });

/** Probability of each path, in their order. */
export const pathProbabilities = (
  { last, steps, rungs }: LadderPaths,
  shares: readonly (readonly number[])[],
): Float64Array => {
  const found = new Float64Array(last.length);
  for (let i = 0; i < last.length; i += 1) {
    let p = 1;
    for (let k = 0; k <= (last[i] ?? 0) && p > 0; k += 1) {
      p *= shares[k]?.[steps[i * rungs.length + k] ?? 0] ?? 0;
    }
    found[i] = p;
  }
  return found;
};

/** Places of all trials of a rung: every trial once. */
export const everyTrial = (rungs: readonly Rung[]) => {
  const places = rungs.map((rung) => rung.trials.map((_, i) => i));
  return (rung: number): number[] => places[rung] ?? [];
};

/**
 * Time to access when rung k begins as rung k - 1 fails or reaches its cap: success times of each rung after the
 * failed times of all before it, every combination as likely as its trials make it. Rungs are taken as independent of
 * one another: what made the screw seize is taken not to hinder the cutter. A rung without trials gives no access, so
 * everything after it is a lower bound; see `access-figures.ts`, which says so.
 */
export const accessDistribution = (
  rungs: readonly Rung[],
  ways = ladderPaths(rungs),
): AccessDistribution => {
  const shares = outcomeShares(ways, everyTrial(rungs));
  const probabilities = pathProbabilities(ways, shares);
  const atoms: AccessAtom[] = [];
  for (const [i, probability] of probabilities.entries()) {
    const seconds = ways.seconds[i] ?? 0;
    const rung = ways.last[i] ?? 0;
    const last = atoms.at(-1);
    if (last?.seconds === seconds && last.rung === rung) last.probability += probability;
    else atoms.push({ seconds, probability, rung });
  }
  let open = 1;
  const begun = ways.rungs.map(({ outcomes }, k) => {
    const now = open;
    const failed = outcomes.map((o, i) => (o.done ? 0 : (shares[k]?.[i] ?? 0)));
    open *= failed.reduce((sum, p) => sum + p, 0);
    return now;
  });
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
