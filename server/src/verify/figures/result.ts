import type { Protocol, Result } from '@unhindered/shared-types';
import { tasksOf, type Replay } from '../replay.ts';
import { alphaOrdinal } from './alpha.ts';
import { compositeFigures } from './composite.ts';
import { middle, ratingsDiverge } from './divergence.ts';
import { evidenceFigures, speakAgainst } from './evidence.ts';
import { meansFigures } from './means.ts';
import { known, unknown } from './text.ts';

type Rule = Parameters<typeof ratingsDiverge>[1];

/** Steps by seat of one task; with `all` also those that a declared interest takes out. */
const steps = (r: Replay, task: string, all: boolean): Map<string, number> => {
  const result = new Map<string, number>();
  for (const seat of r.order) {
    const rating = r.ratings.get(task)?.get(seat);
    const out = r.seats.get(seat)?.excluded.includes(task) ?? false;
    if (rating && rating.step !== null && (all || !out)) result.set(seat, rating.step);
  }
  return result;
};

const reviewersOf = (r: Replay, p: Protocol, all: boolean) =>
  r.order.flatMap((seat) => {
    const ratings = new Map<string, number>();
    for (const { id } of tasksOf(p)) {
      const step = steps(r, id, all).get(seat);
      if (step !== undefined) ratings.set(id, step);
    }
    return ratings.size > 0 ? [{ seat, ratings }] : [];
  });

/** A dispute beside the steps: some propose a critical failure and some do not; some rate and some say not applicable. */
const disputed = (r: Replay, task: string): boolean => {
  const counted = r.order.filter((s) => !(r.seats.get(s)?.excluded.includes(task) ?? false));
  const ratings = counted.flatMap((s) => {
    const rating = r.ratings.get(task)?.get(s);
    return rating ? [rating] : [];
  });
  const onScale = ratings.filter((x) => x.step !== null);
  const proposing = ratings.filter((x) => x.critical !== null);
  const silent = onScale.filter((x) => x.critical === null);
  const absent = ratings.filter((x) => x.answer === 'not-applicable');
  return (proposing.length > 0 && silent.length > 0) || (onScale.length > 0 && absent.length > 0);
};

/** Every published figure, computed again from the replayed events and the protocol alone. */
export const recompute = (r: Replay, p: Protocol, rule: Rule): Result => {
  const opened = new Set(r.rounds.filter((x) => x.opened).flatMap((x) => x.tasks));
  const settled = new Map<string, number>();
  const tasks = tasksOf(p).map((task) => {
    const { id } = task;
    const values = opened.has(id) ? [...steps(r, id, false).values()] : [];
    const median = values.length > 0 ? middle(values) : undefined;
    const how = r.settled.get(id);
    const value = how?.how === 'decide' ? Number(how.value) : how ? median : undefined;
    if (value !== undefined) settled.set(id, value);
    const none = unknown('no counted rating');
    return {
      task: id,
      settled: value === undefined ? none : known(value),
      how: (value === undefined ? 'no-ratings' : how?.how) as Result['tasks'][number]['how'],
      median: median === undefined ? none : known(median),
      n: values.length,
      divergent:
        opened.has(id) &&
        (ratingsDiverge(values, rule) || disputed(r, id) || speakAgainst(r, p, task, values)),
    };
  });
  const blocked = tasksOf(p)
    .filter((t) => r.gates.get(t.id)?.confirmed === true)
    .map((t) => t.id);
  const counted = reviewersOf(r, p, false);
  const evidence = evidenceFigures(r, p);
  return {
    verdict:
      blocked.length > 0
        ? { kind: 'care-was-blocked', tasks: blocked }
        : { kind: 'no-confirmed-critical-failure', tasks: [] },
    composite: compositeFigures(
      r,
      p,
      counted.map((c) => c.seat),
      settled,
    ),
    means: meansFigures(p, counted),
    meansWithInterests: meansFigures(p, reviewersOf(r, p, true)),
    alphaOrdinal: alphaOrdinal(
      tasksOf(p)
        .filter((t) => opened.has(t.id))
        .map((t) => [...steps(r, t.id, false).values()]),
    ),
    tasks,
    counted: counted.map((c) => c.seat),
    ...(evidence ? { evidence } : {}),
  };
};
