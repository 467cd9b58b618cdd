import { roundHalfUp, type Protocol } from '@unhindered/shared-types';
import type { TrialThread } from '../trial-thread.ts';

type Task = Protocol['sections'][number]['tasks'][number];
type Criterion = NonNullable<Task['criterion']>;
type Entry = TrialThread['now'];
type Numeric = Exclude<Criterion, { kind: 'any' | 'pooled-share' | 'recorded' }>;

/** The one measure of a task that is taken in seconds, which a trial's own time stands for. */
const ownTime = (p: Protocol, task: Task): string | undefined => {
  const timed = p.measures.filter((m) => m.unit === 's' && task.measures.includes(m.id));
  return timed.length === 1 ? timed[0]?.id : undefined;
};

/** A value of a trial; undefined where it was not measured, `late` where the task was not done when it was taken. */
const reading = (
  t: Entry,
  measure: string,
  own: string | undefined,
): { value: number; late: boolean } | undefined => {
  if (measure === own && t.seconds !== null) return { value: Number(t.seconds), late: !t.done };
  const typed = t.measures.find((m) => m.measure === measure);
  return typed && { value: Number(typed.value), late: measure === own && !t.done };
};

/** One numeric part: true where it is met, undefined where it was not measured. */
const holds = (
  c: Numeric,
  t: Entry,
  own: string | undefined,
  without: readonly Entry[],
): boolean | undefined => {
  const read = reading(t, c.measure, own);
  if (c.kind === 'not-done-within') {
    if (!read) return undefined;
    const at = Number(roundHalfUp(read.value, 1));
    if (!read.late) return at > c.seconds;
    return at < c.seconds ? undefined : true;
  }
  if (!read || read.late) return undefined;
  if (c.kind === 'above') return read.value > c.limit;
  if (c.kind === 'away-from-zero') return Math.abs(read.value) > c.limit;
  if (read.value >= c.limit) return false;
  const others = without
    .filter((w) => w.operator === t.operator)
    .map((w) => reading(w, c.measure, own))
    .flatMap((r) => (r && !r.late ? [r.value] : []));
  if (others.length === 0) return undefined;
  const mean = others.reduce((sum, x) => sum + x, 0) / others.length;
  return mean - read.value >= c.by - 1e-9;
};

/**
 * What each trial with the equipment answers, undefined for none: its measured values first, its recorder's mark where
 * they tell nothing. `without` are the trials of the same task on the athlete without the equipment.
 */
export const trialAnswers = (
  p: Protocol,
  task: Task,
  trials: readonly Entry[],
  without: readonly Entry[],
): (boolean | undefined)[] => {
  const own = ownTime(p, task);
  const { criterion } = task;
  const parts = criterion?.kind === 'any' ? criterion.of : criterion ? [criterion] : [];
  return trials.map((t) => {
    const mark = t.criterion ?? undefined;
    const said = parts.map((part) =>
      part.kind === 'recorded'
        ? mark
        : part.kind === 'pooled-share'
          ? undefined
          : holds(part, t, own, without),
    );
    if (said.includes(true)) return true;
    return said.some((x) => x !== undefined) ? false : mark;
  });
};

/** The attempts that a pooled share counts; undefined where the task has no such criterion or nobody counted any. */
export const pooledAttempts = (
  { criterion }: Task,
  trials: readonly Entry[],
):
  | { successes: number; of: number; rule: Extract<Criterion, { kind: 'pooled-share' }> }
  | undefined => {
  if (criterion?.kind !== 'pooled-share') return undefined;
  const counts = trials.flatMap(
    (t) => t.measures.find((m) => m.measure === criterion.measure)?.counts ?? [],
  );
  if (counts.length === 0 && trials.some((t) => t.criterion !== null)) return undefined;
  return {
    successes: counts.reduce((sum, c) => sum + c.successes, 0),
    of: counts.reduce((sum, c) => sum + c.of, 0),
    rule: criterion,
  };
};
