import zQuantile from '@stdlib/stats-base-dists-normal-quantile';
import type { Protocol, Result } from '@unhindered/shared-types';
import { pooledAttempts, trialAnswers } from './criterion.ts';
import type { Replay } from '../replay.ts';
import { decimalText, known, unknown } from './text.ts';

type Task = Protocol['sections'][number]['tasks'][number];
type Status = 'met' | 'not-met' | 'not-enough-trials';

/** Trials of one task that are not void, each as last corrected, and of no model who left and whose trials were taken out. */
const standing = (r: Replay, task: Task, condition: 'equipment' | 'reference') =>
  r.trials
    .filter((t) => !t.out)
    .map((t) => t.now)
    .filter((t) => t.model === undefined || !r.safety.leftOut.has(t.model))
    .filter((t) => t.task === task.id && t.condition === condition);

/** What counts of one task: trials with the equipment, in its state. */
const counting = (r: Replay, task: Task) =>
  standing(r, task, 'equipment').filter((t) => t.state === task.state);

const answersOf = (r: Replay, p: Protocol, task: Task): (boolean | undefined)[] =>
  trialAnswers(p, task, counting(r, task), standing(r, task, 'reference'));

/** Wilson's limits, from the two roots of (p - x)^2 = z^2 x (1 - x) / n. */
const limits = (done: number, n: number): [number, number] => {
  const z2 = zQuantile(0.975, 0, 1) ** 2;
  const a = 1 + z2 / n;
  const b = -(2 * (done / n) + z2 / n);
  const c = (done / n) ** 2;
  const root = Math.sqrt(b * b - 4 * a * c);
  return [done === 0 ? 0 : (-b - root) / (2 * a), done === n ? 1 : (-b + root) / (2 * a)];
};

/** Whether the trials meet the criterion of a task, by the counts that the protocol's gate asks for. */
export const trialStatus = (r: Replay, p: Protocol, task: Task): Status => {
  const pool = task.critical === null ? undefined : pooledAttempts(task, counting(r, task));
  if (pool) {
    const { successes, of, rule } = pool;
    if (of < rule.minAttempts) return 'not-enough-trials';
    return successes / of < rule.below && limits(successes, of)[1] < rule.upperBelow
      ? 'met'
      : 'not-met';
  }
  const answers = answersOf(r, p, task).filter((x) => x !== undefined);
  const yes = answers.filter(Boolean).length;
  const { minValidTrials: least, minShareOfValidTrials: share } = p.gate;
  if (task.critical === null || answers.length < least) return 'not-enough-trials';
  return yes < least || yes / answers.length < share ? 'not-met' : 'met';
};

const medianText = (times: readonly number[], undone: number): ReturnType<typeof known> => {
  const n = times.length + undone;
  if (n === 0) return unknown('no timed trial');
  const sorted = times.toSorted((a, b) => a - b);
  const low = sorted[Math.ceil(n / 2) - 1];
  const high = sorted[Math.floor(n / 2)];
  return low === undefined || high === undefined
    ? unknown('half of the trials or more were not done')
    : known((low + high) / 2);
};

/** The figures of the trials, computed again; undefined when no trial was ever entered. */
export const evidenceFigures = (r: Replay, p: Protocol): Result['evidence'] => {
  if (r.trials.length === 0) return undefined;
  return p.sections
    .flatMap((s) => s.tasks)
    .flatMap((task) => {
      const trials = counting(r, task);
      if (trials.length === 0) return [];
      const done = trials.filter((t) => t.done);
      const times = done.flatMap((t) => (t.seconds === null ? [] : [Number(t.seconds)]));
      const [lower, upper] = limits(done.length, trials.length);
      return [
        {
          task: task.id,
          valid: trials.length,
          done: done.length,
          share: decimalText(done.length / trials.length),
          lower: decimalText(lower),
          upper: decimalText(upper),
          medianSeconds: medianText(times, trials.length - done.length),
          criterion: task.critical === null ? null : trialStatus(r, p, task),
        },
      ];
    });
};

/** Whether the trials speak against one of a task's counted steps, by the rule that the protocol states. */
export const speakAgainst = (
  r: Replay,
  p: Protocol,
  task: Task,
  steps: readonly number[],
): boolean => {
  const { min, max, better } = p.scale;
  const rule = p.divergence.evidence;
  if (rule === null) return false;
  const trials = counting(r, task);
  const near = rule?.better ?? (max - min) / 2;
  const far = rule?.worst ?? 0;
  const hindrance = (step: number): number => (better === 'lower' ? step - min : max - step);
  if (trialStatus(r, p, task) === 'met') return steps.some((s) => hindrance(s) < near);
  const enough = trials.length >= p.gate.minValidTrials && trials.every((t) => t.done);
  const cleared =
    task.critical === null ||
    (pooledAttempts(task, trials)
      ? trialStatus(r, p, task) === 'not-met'
      : answersOf(r, p, task).every((x) => x === false));
  return enough && cleared && steps.some((s) => max - min - hindrance(s) <= far);
};
