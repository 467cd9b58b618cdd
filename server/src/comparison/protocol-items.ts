import type {
  ItemCounts,
  LearnedTask,
  Protocol,
  ProtocolLearning,
  Shown,
} from '@unhindered/shared-types';
import { mean } from '../consensus/mean.ts';

/** A locked evaluation as the page of its protocol sees it. */
export interface Itemised {
  paper?: boolean | undefined;
  items: readonly ItemCounts[];
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const share = (part: number, of: number, why: string): Shown =>
  of === 0 ? { why } : { value: part / of };

const onScale = (item: ItemCounts): number => sum(item.points);

/** Points of the scale, from `min`, on which none of the items has a rating. */
const unusedOf = (items: readonly ItemCounts[], { min, max }: Protocol['scale']): number[] =>
  Array.from({ length: max - min + 1 }, (_, i) => i)
    .filter((i) => items.every((item) => (item.points[i] ?? 0) === 0))
    .map((i) => min + i);

const learnedTask = (
  task: { id: string; title: string },
  section: string,
  items: readonly ItemCounts[],
  scale: Protocol['scale'],
): LearnedTask => {
  const rated = items.filter((i) => onScale(i) > 0);
  const pairs = sum(items.map((i) => i.pairs));
  const answers = sum(items.map((i) => onScale(i) + i.notApplicable + i.notObserved + i.abstained));
  const deviation = mean(items.flatMap((i) => i.deviation ?? []));
  return {
    task: task.id,
    title: task.title,
    section,
    evaluations: rated.length,
    n: sum(rated.map(onScale)),
    deviation: deviation === undefined ? { why: 'never rated twice' } : { value: deviation },
    withinOne: share(sum(items.map((i) => i.near)), pairs, 'never rated twice'),
    pairs,
    diverged: items.filter((i) => i.diverged).length,
    // Nothing is said of a task that nobody rated.
    unused: rated.length === 0 ? [] : unusedOf(rated, scale),
    answers,
    notApplicable: share(sum(items.map((i) => i.notApplicable)), answers, 'no answer'),
    notObserved: share(sum(items.map((i) => i.notObserved)), answers, 'no answer'),
  };
};

/**
 * LE-3: a protocol version over its locked evaluations: how far its tasks were agreed on, which points of the scale were
 * never used, how often a task did not apply. Each evaluation has one voice in a mean deviation; pairs and answers
 * are pooled. Withdrawn evaluations are the caller's to leave out.
 */
export const protocolItems = (
  protocol: Protocol,
  evaluations: readonly Itemised[],
): Pick<ProtocolLearning, 'tasks' | 'unused' | 'ratings' | 'evaluations' | 'paper'> => {
  const byTask = new Map<string, ItemCounts[]>();
  for (const item of evaluations.flatMap((e) => e.items)) {
    const list = byTask.get(item.task) ?? [];
    list.push(item);
    byTask.set(item.task, list);
  }
  const all = [...byTask.values()].flat();
  return {
    evaluations: evaluations.length,
    paper: evaluations.filter((e) => e.paper === true).length,
    ratings: sum(all.map(onScale)),
    unused: all.some((i) => onScale(i) > 0) ? unusedOf(all, protocol.scale) : [],
    tasks: protocol.sections.flatMap((s) =>
      s.tasks.map((t) => learnedTask(t, s.title, byTask.get(t.id) ?? [], protocol.scale)),
    ),
  };
};
