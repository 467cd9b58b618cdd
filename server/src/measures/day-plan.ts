import type { PlanSlot } from '@unhindered/shared-types';
import { figure, noFigure, type Figure } from '../consensus/figure.ts';

/** A task as it takes time on the day. */
export interface PlannedTask {
  id: string;
  /** Minutes of one trial, and of putting everything back after it. */
  trialMinutes: number;
  resetMinutes: number;
  /** Tires the operator: rest before the next tiring trial of the same person. */
  tiring: boolean;
}

export interface DayRules {
  /** Minutes between two tiring trials of one operator. */
  restMinutes: number;
  /** A break of so many minutes after at most so many minutes of work. */
  breakMinutes: number;
  workMinutes: number;
  /** Practice trials of each operator before the first that counts. */
  practice: number;
  /** Longest day. */
  dayMinutes: number;
}

/**
 * What one operator does for one task: conditions in their order, each so many trials. One station: one trial at a
 * time.
 */
export interface PlannedOperator {
  id: string;
  /** Conditions in this operator's own order; see assign-orders.ts. */
  conditions: readonly string[];
}

export interface DayPlan {
  slots: PlanSlot[];
  minutes: number;
  trials: number;
  /** What a planner must know, in words. */
  notes: string[];
}

type Job = Pick<PlanSlot, 'kind' | 'operator' | 'condition' | 'trial'> & { task: PlannedTask };

/**
 * House rule of use: 3 minutes of rest between bouts of two minutes as in Longo 2023; the rest is common practice,
 * no source. Change what the day needs.
 */
export const DEFAULT_RULES: DayRules = {
  restMinutes: 3,
  breakMinutes: 15,
  workMinutes: 90,
  practice: 1,
  dayMinutes: 8 * 60,
};

/** Jobs of one operator and task, in the order in which they must stand. */
const jobsOf = (
  operator: PlannedOperator,
  task: PlannedTask,
  trials: number,
  practice: number,
): Job[] => {
  const counted = (kind: Job['kind'], condition: string | null, n: number): Job[] =>
    Array.from({ length: n }, (_, i) => ({
      kind,
      task,
      operator: operator.id,
      condition,
      trial: i + 1,
    }));
  return [
    ...counted('practice', null, practice),
    ...operator.conditions.flatMap((condition) => counted('trial', condition, trials)),
  ];
};

/** The slots so far, the time, and when each operator may do a tiring trial again. */
const timetable = (rules: DayRules) => {
  const slots: PlanSlot[] = [];
  const rested = new Map<string, number>();
  let now = 0;
  let worked = 0;
  const idle = (kind: 'break' | 'rest', minutes: number): void => {
    const nobody = { task: null, operator: null, condition: null, trial: null };
    slots.push({ from: now, to: now + minutes, kind, ...nobody });
    now += minutes;
    // A rest is no work, and no break either.
    if (kind === 'break') worked = 0;
  };
  const waitFor = (job: Job): number =>
    job.task.tiring ? Math.max(0, (rested.get(job.operator ?? '') ?? 0) - now) : 0;
  const run = (job: Job): void => {
    const { task, ...rest } = job;
    const length = task.trialMinutes + task.resetMinutes;
    if (worked > 0 && worked + length > rules.workMinutes) idle('break', rules.breakMinutes);
    const wait = waitFor(job);
    if (wait > 0) idle('rest', wait);
    slots.push({ from: now, to: now + length, ...rest, task: task.id });
    if (task.tiring) {
      rested.set(job.operator ?? '', now + task.trialMinutes + rules.restMinutes);
    }
    now += length;
    worked += length;
  };
  return { slots, waitFor, run, now: () => now };
};

const notesOf = (minutes: number, rules: DayRules, operators: number): string[] => [
  'Times are minutes from the start; the briefing, fitting and any talk are not in them.',
  ...(minutes > rules.dayMinutes
    ? [
        `It takes ${String(Math.ceil(minutes / rules.dayMinutes))} days of this length, or fewer trials.`,
      ]
    : []),
  ...(operators === 1
    ? ['One operator alone: nothing can be said about other people, and every rest is waited for.']
    : []),
];

/**
 * ME-8: a timed plan of the day in which no operator has two tiring trials closer than the rest allows, nobody works
 * longer than the rules say without a break, and practice comes before what counts. One station, one trial at a time,
 * task after task; among the operators whose next trial may stand, the one least recently at work goes first, so that
 * rests are filled by others. No figure when there is nothing to plan or a time is not above zero.
 */
export const dayPlan = (
  tasks: readonly PlannedTask[],
  operators: readonly PlannedOperator[],
  trials: number,
  rules: DayRules = DEFAULT_RULES,
): Figure<DayPlan> => {
  if (tasks.length === 0 || operators.length === 0 || trials < 1) {
    return noFigure('a plan needs a task, an operator and a trial');
  }
  const bad = tasks.find((t) => !(t.trialMinutes > 0) || !(t.resetMinutes >= 0));
  if (bad) return noFigure(`the times of ${bad.id} must be above zero`);
  const table = timetable(rules);
  for (const task of tasks) {
    const queues = operators.map((o) => jobsOf(o, task, trials, rules.practice));
    while (queues.some((q) => q.length > 0)) {
      const waiting = queues.filter((q) => q.length > 0);
      const waits = waiting.map((q) => (q[0] ? table.waitFor(q[0]) : Infinity));
      const next = waiting[waits.indexOf(Math.min(...waits))];
      const job = next?.shift();
      if (!next || !job) break;
      table.run(job);
      // To the end of the line: the others go first next time.
      queues.push(...queues.splice(queues.indexOf(next), 1));
    }
  }
  const counted = table.slots.filter((s) => s.kind === 'trial').length;
  const minutes = table.now();
  return figure({
    slots: table.slots,
    minutes,
    trials: counted,
    notes: notesOf(minutes, rules, operators.length),
  });
};
