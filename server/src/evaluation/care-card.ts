import {
  protocolTasks,
  type CardAnswer,
  type CardTask,
  type CardTrials,
  type CareCard,
  type Protocol,
  type ProtocolTask,
} from '@unhindered/shared-types';
import { published, type SuccessorShown } from './published.ts';
import type { EvaluationState } from './state.ts';

/** From these shares of the scale on a task counts as marked and as delayed; below the last, as without the equipment. */
const MARKED_FROM = 0.6;
const DELAYED_FROM = 0.4;
const AS_WITHOUT_BELOW = 0.1;

const distance = ({ scale }: Protocol, value: number): number =>
  Math.abs(value - (scale.datum ?? (scale.better === 'lower' ? scale.min : scale.max)));

/** The protocol's sentence of a settled value; a half point takes the sentence of the worse point beside it. */
const sentenceOf = ({ scale }: Protocol, task: ProtocolTask, value: number): string => {
  const point = scale.better === 'lower' ? Math.ceil(value) : Math.floor(value);
  return task.anchors[point - scale.min] ?? '';
};

const judgedTasks = (state: EvaluationState, protocol: Protocol): CardTask[] =>
  protocolTasks(protocol).flatMap((task) => {
    const row = state.locked?.result.tasks.find((t) => t.task === task.id);
    if (!row || !('value' in row.settled)) return [];
    const value = Number(row.settled.value);
    return [
      {
        task: task.id,
        title: task.title,
        state: protocol.states.find((s) => s.id === task.state)?.title ?? task.state,
        value,
        sentence: sentenceOf(protocol, task, value),
        leftOpen: row.how === 'leave-open',
      },
    ];
  });

/** Why a task has no settled value: what its counted ratings say, if there are any. */
const untested = (
  state: EvaluationState,
  task: ProtocolTask,
): CareCard['notTested']['tasks'][number] => {
  const ratings = [...(state.ratings.get(task.id)?.values() ?? [])].map((r) => r.rating);
  const absent = ratings.find((r) => r.answer === 'not-applicable');
  if (absent) return { title: task.title, why: 'not-applicable', reason: absent.reason };
  const why = ratings.some((r) => r.answer === 'not-observed') ? 'not-observed' : 'not-rated';
  return { title: task.title, why, reason: null };
};

const toolRows = (
  protocol: Protocol,
  judged: readonly CardTask[],
  trials: ReadonlyMap<string, CardTrials>,
): CareCard['tools'] => {
  const uses = new Map(protocolTasks(protocol).map((t) => [t.id, t.tools]));
  return protocol.tools.flatMap((tool) => {
    const tasks = judged
      .filter((t) => uses.get(t.task)?.includes(tool.id))
      .map((t) => ({ ...t, trials: trials.get(t.task) ?? null }));
    return tasks.length > 0 ? [{ tool: tool.title, tasks }] : [];
  });
};

/**
 * The card of one model for the sideline, in the protocol's own sentences.
 *
 * CC-1: only from a locked evaluation, and only what its record holds: nothing is advised.
 * CC-2: a withdrawn record's card says that it was withdrawn, and nothing of what was found.
 * CC-3: what was not tested is named, so that silence is not read as a good finding.
 */
export const careCard = (
  state: EvaluationState,
  protocol: Protocol,
  successor: SuccessorShown,
  trials: ReadonlyMap<string, CardTrials>,
): CardAnswer | undefined => {
  const common = published(state, protocol, successor);
  if (!common) return undefined;
  if (common.state.kind === 'withdrawn') return { kind: 'withdrawn-card', ...common };
  const { scale, states } = protocol;
  const reach = scale.max - scale.min;
  const judged = judgedTasks(state, protocol).toSorted(
    (a, b) => distance(protocol, b.value) - distance(protocol, a.value),
  );
  const between = (from: number, below: number): CardTask[] =>
    judged.filter((t) => {
      const far = distance(protocol, t.value);
      return far >= from * reach && far < below * reach;
    });
  const tasks = protocolTasks(protocol);
  const known = new Set(judged.map((t) => t.task));
  const tested = states.filter((s) => tasks.some((t) => t.state === s.id && known.has(t.id)));
  return {
    kind: 'card',
    paper: state.paper !== null,
    ...common,
    reach,
    blocked: tasks
      .filter((t) => state.gates.get(t.id)?.confirmed === true)
      .map((t) => ({
        title: t.title,
        backedByTrials: state.gates.get(t.id)?.backedByTrials ?? false,
      })),
    marked: between(MARKED_FROM, Number.POSITIVE_INFINITY),
    delayed: between(DELAYED_FROM, MARKED_FROM),
    slight: between(AS_WITHOUT_BELOW, DELAYED_FROM),
    asWithout: between(0, AS_WITHOUT_BELOW),
    tools: toolRows(protocol, judged, trials),
    statesTested: tested.map((s) => s.title),
    notTested: {
      states: states.filter((s) => !tested.includes(s)).map((s) => s.title),
      tasks: tasks.filter((t) => !known.has(t.id)).map((t) => untested(state, t)),
    },
  };
};
