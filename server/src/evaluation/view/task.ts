import type { GateSlice, Protocol, Shown, TaskSlice } from '@unhindered/shared-types';
import { adMedian } from '../../consensus/spread.ts';
import { remembered } from '../remembered.ts';
import { settledValue } from '../settled-value.ts';
import { tasksById, wasNotReRated, type TaskStanding } from '../standing.ts';
import type { EvaluationState } from '../state.ts';

export const shown = (value: number | undefined, why: string): Shown =>
  value === undefined ? { why } : { value };

const NONE = 'no counted rating on the scale';

const gateSlice = (state: EvaluationState, standing: TaskStanding): GateSlice => ({
  proposed: standing.proposed,
  atWorst: standing.atWorst,
  trials: standing.trials,
  decision: state.gates.get(standing.task) ?? null,
  owed: standing.gateOwed,
});

const rememberedSlice = remembered<TaskStanding, TaskSlice>();

/** Everything the panel sees of one opened task; the same object as long as none of it changed. */
export const taskSlice = (
  state: EvaluationState,
  protocol: Protocol,
  standing: TaskStanding,
): TaskSlice => {
  const { task } = standing;
  const parts = [state.settled.get(task), state.gates.get(task), state.rounds, protocol];
  return rememberedSlice(standing, parts, () => sliceOf(state, protocol, standing));
};

const sliceOf = (state: EvaluationState, protocol: Protocol, standing: TaskStanding): TaskSlice => {
  const { task, values } = standing;
  const settled = state.settled.get(task);
  const rounds = state.rounds.filter((r) => r.openedAt !== null && r.tasks.includes(task));
  const canGate = tasksById(protocol).get(task)?.critical !== null;
  return {
    task,
    round: rounds.at(-1)?.number ?? 1,
    ratings: standing.ratings.map((r) => ({
      seat: r.seat,
      rating: r.rating,
      counted: r.counted,
      notReRated: wasNotReRated(state, task, r.round),
      changed: r.changed,
      late: r.late,
      corrected: r.corrected,
    })),
    n: values.length,
    median: shown(standing.median, NONE),
    min: shown(values.length > 0 ? Math.min(...values) : undefined, NONE),
    max: shown(values.length > 0 ? Math.max(...values) : undefined, NONE),
    adMedian: shown(adMedian(values), NONE),
    flags: standing.flags.map((f) => ({
      kind: f.kind,
      rule: f.rule,
      constants: f.constants,
      seats: f.reviewers,
      apart: f.apart,
      size: f.size,
    })),
    settled: settled ? { ...settled, value: settledValue(state, standing) ?? null } : null,
    gate: canGate ? gateSlice(state, standing) : null,
  };
};
