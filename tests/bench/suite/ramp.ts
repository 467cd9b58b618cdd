/** What one step of a ramp showed at a load that was asked for. */
export interface Step<T> {
  load: number;
  passed: boolean;
  result: T;
}

export interface RampPlan {
  /** First load, and by how much each next one is larger. */
  from: number;
  factor: number;
  /** No load above this is tried. */
  most: number;
  /** `performance.now()` after which no further step begins. */
  until: number;
}

/** The highest load that passed, with why nothing higher did. */
export interface Ramp<T> {
  best: Step<T> | undefined;
  /** The lowest that failed twice. */
  failed: Step<T> | undefined;
  ended: 'failed' | 'most' | 'time';
}

/**
 * Raises a load until it fails twice running, which one bad second of a shared machine does not do alone; then tries once
 * in the middle between the last that passed and that one.
 */
export const ramp = async <T>(
  { from, factor, most, until }: RampPlan,
  tryLoad: (load: number) => Promise<{ passed: boolean; result: T }>,
): Promise<Ramp<T>> => {
  const twice = async (load: number): Promise<Step<T>> => {
    const first = await tryLoad(load);
    return { load, ...(first.passed ? first : await tryLoad(load)) };
  };
  let best: Step<T> | undefined;
  let failed: Step<T> | undefined;
  for (let load = from; load <= most && !failed; load *= factor) {
    if (performance.now() > until) return { best, failed, ended: 'time' };
    const step = await twice(load);
    if (step.passed) best = step;
    else failed = step;
  }
  if (!failed) return { best, failed, ended: 'most' };
  if (best && performance.now() < until) {
    const between = await twice((best.load + failed.load) / 2);
    if (between.passed) best = between;
    else failed = between;
  }
  return { best, failed, ended: 'failed' };
};
