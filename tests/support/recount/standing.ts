import type { ProtocolTask } from '../../../shared-types/src/index.ts';
import { openedTasks, reviewers, type Day, type Held } from './day.ts';
import { judgement } from './judge.ts';
import { meanDistance, median, whole, type Cells, type Whole } from './sums.ts';

/** Where one opened task stands, worked out anew from the lines. */
export interface Stand {
  task: ProtocolTask;
  /** In the order of the seats; `counted`: no declared interest takes it out. */
  ratings: { seat: string; held: Held; counted: boolean }[];
  values: number[];
  median: number | undefined;
  settled: number | undefined;
  /** Sizes that the reasons for talking name, in their order; null where a reason names none. */
  reasons: (number | null)[];
  /** Seats that propose a critical failure, and counted ones at the worst point of a task that can gate. */
  proposed: { seat: string; reason: string }[];
  worst: string[];
}

const worstOf = ({ p: { scale } }: Day): number =>
  scale.better === 'lower' ? scale.max : scale.min;

/** The rule D1: a rating far from the median of the others, or a large average deviation from the median. */
const distances = (day: Day, values: readonly number[]): (number | null)[] => {
  const { lone, split } = day.p.divergence;
  if (values.length < 2) return [];
  const far = values.map((x, i) => Math.abs(x - (median(values.filter((_, j) => j !== i)) ?? x)));
  const alone = Math.max(...far) >= lone - 1e-9;
  const apart = meanDistance(values, median(values) ?? 0);
  const camps = split !== null && apart > split + 1e-9 && !(values.length === 2 && alone);
  const range = Math.max(...values) - Math.min(...values);
  return [...(alone ? [Math.max(...far)] : []), ...(camps ? [range] : [])];
};

/** Whether measured trials speak against some rating. */
const contradicted = (day: Day, task: ProtocolTask, values: readonly number[]): boolean => {
  const { scale, gate, divergence } = day.p;
  if (divergence.evidence === null) return false;
  const rule = divergence.evidence ?? { better: (scale.max - scale.min) / 2, worst: 0 };
  const worst = worstOf(day);
  const best = scale.min + scale.max - worst;
  const found = judgement(day, task);
  if (!found) return false;
  if (found.status === 'met') return values.some((x) => Math.abs(x - best) < rule.better);
  const never =
    found.status === null ||
    (found.pooled ? found.status === 'not-met' : found.met === 0 && found.judged === found.valid);
  if (found.valid < gate.minValidTrials || found.done < found.valid || !never) return false;
  return values.some((x) => Math.abs(x - worst) <= rule.worst);
};

const standOf = (day: Day, task: ProtocolTask): Stand => {
  const given = day.ratings.get(task.id);
  const ratings = reviewers(day).flatMap(({ seat, excluded }) => {
    const held = given?.get(seat);
    return held ? [{ seat, held, counted: !excluded.includes(task.id) }] : [];
  });
  const counted = ratings.filter((r) => r.counted);
  const steps = counted.filter((r) => r.held.rating.step !== null);
  const values = steps.map((r) => r.held.rating.step ?? 0);
  const critical = counted.filter((r) => r.held.rating.critical !== null).map((r) => r.seat);
  const disputed = critical.length > 0 && steps.some((r) => !critical.includes(r.seat));
  const inapplicable = counted.some((r) => r.held.rating.answer === 'not-applicable');
  const end = day.settled.get(task.id);
  const middle = median(values);
  return {
    task,
    ratings,
    values,
    median: middle,
    settled: end && (end.how === 'decide' ? Number(end.value) : middle),
    reasons: [
      ...distances(day, values),
      ...(disputed ? [null] : []),
      ...(values.length > 0 && inapplicable ? [null] : []),
      ...(contradicted(day, task, values) ? [null] : []),
    ],
    proposed: ratings.flatMap(({ seat, held: { rating } }) =>
      rating.critical === null ? [] : [{ seat, reason: rating.critical }],
    ),
    worst:
      task.critical === null
        ? []
        : steps.filter((r) => r.held.rating.step === worstOf(day)).map((r) => r.seat),
  };
};

/** Every opened task in the protocol's order. */
export const stands = (day: Day): Stand[] => openedTasks(day).map((t) => standOf(day, t));

/** Ratings as a table, counted ones or all; reviewers without any in it are left out. */
export const tableOf = (
  day: Day,
  of: readonly Stand[],
  everyone: boolean,
): { seats: string[]; cells: Cells } => {
  const rows = of.map((t) => {
    const own = t.ratings.filter((r) => (everyone || r.counted) && r.held.rating.step !== null);
    return new Map(own.map((r) => [r.seat, r.held.rating.step ?? 0]));
  });
  const seats = [...day.seats.keys()].filter((s) => rows.some((row) => row.has(s)));
  return { seats, cells: rows.map((row) => seats.map((s) => row.get(s))) };
};

/** Which statements the composite counts: of reviewers with a counted rating whom no tie takes out of any task. */
export const statements = (day: Day, counted: readonly string[]) => {
  const said = counted
    .filter((seat) => day.seats.get(seat)?.excluded.length === 0)
    .flatMap((seat) => day.endorsements.get(seat) ?? []);
  const content = said.filter((s) => s.content).length;
  return { content, not: said.length - content };
};

/** The composite of the settled values, without the statements and with them. */
export const headline = (day: Day, of: readonly Stand[]) => {
  const settled = new Map(of.map((t) => [t.task.id, t.settled]));
  const without: Whole = whole(day.p.sections, (id) => settled.get(id));
  const rule = day.p.endorsement;
  const { content, not } = statements(day, tableOf(day, of, false).seats);
  const weights = day.p.sections.map((s, i) =>
    without.parts[i]?.value === undefined ? 0 : s.weight,
  );
  const used = weights.reduce((s, w) => s + w, 0);
  const counts = rule !== undefined && rule.weight > 0 && content + not > 0 && used > 0;
  const points = rule ? (content * rule.content + not * rule.notContent) / (content + not) : 0;
  const extra = counts ? rule.weight : 0;
  const value =
    without.value === undefined
      ? undefined
      : (used * without.value + extra * points) / (used + extra);
  return {
    value,
    without,
    shares: weights.map((w) => w / (used + extra)),
    weighed: counts ? { weight: extra / (used + extra), points, content, not } : null,
  };
};
