import {
  isStanding,
  protocolTasks,
  type AccessRung,
  type Protocol,
  type TrialEntry,
  type TrialList,
} from '@unhindered/shared-types';
import type { Rung, RungTrial } from '../measures/rung.ts';
import { rungDurations } from '../measures/rung.ts';
import { remembered } from './remembered.ts';

/** A technique with the trials that count for it, and how many were set aside or given the cap's time. */
export interface GatheredRung extends Pick<
  AccessRung,
  'task' | 'title' | 'state' | 'done' | 'notDone' | 'atCap' | 'untimed' | 'operators'
> {
  /** As the figures take it, under the task's title. */
  rung: Rung;
}

/** A ladder of the protocol with the trials of an evaluation. Plain data: it may be asked in another thread. */
export interface GatheredLadder {
  id: string;
  goal: string;
  /** Trials of a technique below which nothing is computed: what the protocol's gate asks for. */
  minTrials: number;
  rungs: GatheredRung[];
}

type Task = ReturnType<typeof protocolTasks>[number];

const untimedOf = (trials: readonly TrialEntry[], cap: number | null): TrialEntry[] =>
  trials.filter((t) => t.seconds === null && (t.done || cap === null));

const rungTrial = (trial: TrialEntry, cap: number | null): RungTrial[] => {
  const { operator, done, seconds } = trial;
  if (seconds !== null) return [{ operator, seconds: Number(seconds), done }];
  return done || cap === null ? [] : [{ operator, seconds: cap, done }];
};

const gatherRung = (
  trials: readonly TrialEntry[],
  protocol: Protocol,
  task: Task | undefined,
  { task: id, capSeconds }: Protocol['ladders'][number]['rungs'][number],
): GatheredRung => {
  const own = trials.filter((t) => t.task === id && t.state === task?.state);
  const title = task?.title ?? id;
  const rung: Rung = {
    id: title,
    capSeconds,
    trials: own.flatMap((t) => rungTrial(t, capSeconds)),
  };
  const { done, failed } = rungDurations(rung);
  return {
    task: id,
    title,
    state: protocol.states.find((s) => s.id === task?.state)?.title ?? '',
    rung,
    done: done.length,
    notDone: failed.length,
    atCap: own.filter((t) => !t.done && t.seconds === null && capSeconds !== null).length,
    untimed: untimedOf(own, capSeconds).length,
    operators: new Set(rung.trials.map((t) => t.operator)).size,
  };
};

const rememberedLadders = remembered<TrialList, GatheredLadder[]>();

/**
 * LA-1: the trials of each ladder of the protocol, by rung: standing ones with the equipment, in the state that the
 * task is rated in. A trial that was not done and has no time failed at the cap, the latest it can have: to leave it
 * out would make access look likelier. A done trial without a time, and a failure without a time or a cap, can stand
 * nowhere; they are counted and said.
 */
export const gatherLadders = (trials: TrialList, protocol: Protocol): GatheredLadder[] =>
  rememberedLadders(trials, [protocol], () => {
    const standing = [...trials.values()]
      .filter(isStanding)
      .map((t) => t.entry)
      .filter((t) => t.condition === 'equipment');
    const tasks = new Map(protocolTasks(protocol).map((t) => [t.id, t]));
    return protocol.ladders.map(({ id, goal, rungs }) => ({
      id,
      goal,
      minTrials: protocol.gate.minValidTrials,
      rungs: rungs.map((r) => gatherRung(standing, protocol, tasks.get(r.task), r)),
    }));
  });
