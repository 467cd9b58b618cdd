import type { CriterionPart, ProtocolTask } from '../../../shared-types/src/index.ts';
import { standing, type Day, type Tried } from './day.ts';
import { mean, wilson } from './sums.ts';

type Answer = boolean | null;

/** What the trials of a task say of its criterion. */
export interface Judgement {
  valid: number;
  done: number;
  /** Null for a task that can never gate. */
  status: 'met' | 'not-met' | 'not-enough-trials' | null;
  met: number;
  judged: number;
  /** Trials that measured values answered; undefined where the protocol puts no numbers. */
  measured: number | undefined;
  differs: number;
  /** A share of attempts taken together: successes of attempts. */
  pooled: { successes: number; of: number } | undefined;
}

/** The measure that is a task's own time: the only one in seconds. */
const timeOf = (day: Day, task: ProtocolTask): string | undefined => {
  const timed = day.p.measures.filter((m) => task.measures.includes(m.id) && m.unit === 's');
  return timed.length === 1 ? timed[0]?.id : undefined;
};

/** A measured value; a time is none when the task was not done. */
const valueOf = (day: Day, task: ProtocolTask, { entry }: Tried, measure: string) => {
  const own = measure === timeOf(day, task);
  const typed = entry.measures.find((m) => m.measure === measure);
  const text = own && entry.seconds !== null ? entry.seconds : typed?.value;
  return text === undefined ? undefined : { value: Number(text), cut: own && !entry.done };
};

const tenth = (seconds: number): number => Math.round(10 * seconds + 1e-9) / 10;

/** Done within the cap to the tenth; a trial that was stopped before the cap tells nothing. */
const within = (time: { value: number; cut: boolean } | undefined, cap: number): Answer => {
  if (!time) return null;
  if (!time.cut) return tenth(time.value) > cap;
  return tenth(time.value) >= cap ? true : null;
};

const partOf = (
  day: Day,
  task: ProtocolTask,
  t: Tried,
  part: CriterionPart,
  all: Tried[],
): Answer => {
  if (part.kind === 'recorded') return t.entry.criterion;
  const found = valueOf(day, task, t, part.measure);
  if (part.kind === 'not-done-within') return within(found, part.seconds);
  if (!found || found.cut) return null;
  if (part.kind === 'above') return found.value > part.limit;
  if (part.kind === 'away-from-zero') return Math.abs(found.value) > part.limit;
  if (found.value >= part.limit) return false;
  const bare = all
    .filter((x) => x.entry.condition === 'reference' && x.entry.operator === t.entry.operator)
    .flatMap((x) => valueOf(day, task, x, part.measure)?.value ?? []);
  const middle = mean(bare);
  return middle === undefined ? null : middle - found.value >= part.by - 1e-9;
};

const anyOf = (answers: readonly Answer[]): Answer =>
  answers.includes(true) ? true : answers.every((a) => a === null) ? null : false;

const judgeOne = (day: Day, task: ProtocolTask, t: Tried, parts: CriterionPart[], all: Tried[]) => {
  const seen = t.entry.criterion;
  const answer = (of: CriterionPart[]): Answer =>
    of.length === 0 ? null : anyOf(of.map((part) => partOf(day, task, t, part, all)));
  const numbers = answer(parts.filter((part) => part.kind !== 'recorded'));
  const said = answer(parts);
  const marks = parts.length > 1 && parts.some((part) => part.kind === 'recorded');
  return {
    answer: said ?? seen,
    measured: numbers !== null && !(numbers === false && said === true),
    differs: (numbers === true && seen === false) || (numbers === false && seen === true && !marks),
  };
};

const statusOf = (day: Day, met: number, judged: number): Judgement['status'] => {
  const { minValidTrials, minShareOfValidTrials } = day.p.gate;
  if (judged < minValidTrials) return 'not-enough-trials';
  return met >= minValidTrials && met / judged >= minShareOfValidTrials ? 'met' : 'not-met';
};

/** Trials of a task that count as evidence: with the equipment, in the state that the task is rated in. */
export const counted = (day: Day, task: ProtocolTask): Tried[] =>
  standing(day).filter(
    ({ entry: e }) => e.task === task.id && e.condition === 'equipment' && e.state === task.state,
  );

/** What the trials say of the criterion; undefined for a task that nobody tried. */
export const judgement = (day: Day, task: ProtocolTask): Judgement | undefined => {
  if (!day.trials.some((t) => t.entry.task === task.id)) return undefined;
  const own = counted(day, task);
  const done = own.filter((t) => t.entry.done).length;
  const plain = { valid: own.length, done, measured: undefined, differs: 0, pooled: undefined };
  if (task.critical === null) return { ...plain, status: null, met: 0, judged: 0 };
  const rule = task.criterion;
  const marked = own.filter((t) => t.entry.criterion !== null);
  if (rule?.kind === 'pooled-share') {
    const counts = own.flatMap(
      (t) => t.entry.measures.find((m) => m.measure === rule.measure)?.counts ?? [],
    );
    if (counts.length > 0 || marked.length === 0) {
      const successes = counts.reduce((s, c) => s + c.successes, 0);
      const of = counts.reduce((s, c) => s + c.of, 0);
      const low =
        of > 0 && successes / of < rule.below && wilson(successes, of)[1] < rule.upperBelow;
      const status = of < rule.minAttempts ? 'not-enough-trials' : low ? 'met' : 'not-met';
      const pooled = { successes, of };
      return { ...plain, status, met: of - successes, judged: of, measured: counts.length, pooled };
    }
  }
  const all = standing(day).filter((t) => t.entry.task === task.id);
  const parts: CriterionPart[] =
    !rule || rule.kind === 'pooled-share'
      ? [{ kind: 'recorded' }]
      : rule.kind === 'any'
        ? rule.of
        : [rule];
  const answers = own.map((t) => judgeOne(day, task, t, parts, all));
  const met = answers.filter((a) => a.answer === true).length;
  const judged = answers.filter((a) => a.answer !== null).length;
  return {
    ...plain,
    status: statusOf(day, met, judged),
    met,
    judged,
    measured: rule ? answers.filter((a) => a.measured).length : undefined,
    differs: answers.filter((a) => a.differs).length,
  };
};
