import { checkEntry } from './check-entry.ts';
import { protocolTasks } from './protocol-tasks.ts';
import type { Protocol, ProtocolMeasure } from './protocol.ts';
import { roundHalfUp } from './round-half-up.ts';
import type { TrialEntry } from './trial.ts';

/**
 * The measure that is a trial's own time: the only one of its task that is taken in seconds. Undefined where a task has
 * none or several, for then nobody can say which of them the stopwatch took.
 */
export const timeMeasure = (protocol: Protocol, task: string): ProtocolMeasure | undefined => {
  const used = protocolTasks(protocol).find((t) => t.id === task)?.measures ?? [];
  const timed = protocol.measures.filter((m) => used.includes(m.id) && m.unit === 's');
  return timed.length === 1 ? timed[0] : undefined;
};

const measuredFault = (
  { measure, value, counts }: TrialEntry['measures'][number],
  protocol: Protocol,
): string | undefined => {
  const known = protocol.measures.find((m) => m.id === measure);
  if (!known) return `The protocol has no measure "${measure}".`;
  const entry = { value: Number(value), censored: false, counts: counts ?? undefined };
  const { verdict, faults } = checkEntry(known, entry);
  if (verdict === 'refuse') return faults.map((f) => `${f.place}: ${f.fault}.`).join(' ');
  if (counts === null) return undefined;
  if (known.unit !== '%') return `${known.name}: only a share has counts.`;
  const share = (100 * counts.successes) / counts.of;
  return Math.abs(share - entry.value) < 1e-6
    ? undefined
    : `${known.name}: not the share of its counts.`;
};

/** Whether a time is longer than its measure can be, to the tenth of a second. */
const beyondCap = (timed: ProtocolMeasure, seconds: string): boolean =>
  timed.rejectMax !== null && Number(roundHalfUp(Number(seconds), 1)) > timed.rejectMax;

/**
 * TR-1: why a trial cannot stand under a protocol, or undefined: its task, state and measures are the protocol's, every
 * value is within the reject limits (a value equal to a limit is), only a task that can gate has a criterion to judge,
 * and a task is not done in more than the cap of its own time; at the cap to the tenth it is.
 */
export const trialFault = (trial: TrialEntry, protocol: Protocol): string | undefined => {
  const task = protocolTasks(protocol).find((t) => t.id === trial.task);
  if (!task) return `The protocol has no task "${trial.task}".`;
  if (!protocol.states.some((s) => s.id === trial.state)) {
    return `The protocol has no equipment state "${trial.state}".`;
  }
  if (trial.criterion !== null && task.critical === null) {
    return 'This task has no criterion of a critical failure.';
  }
  const timed = timeMeasure(protocol, trial.task);
  if (timed && trial.done && trial.seconds !== null && beyondCap(timed, trial.seconds)) {
    return `${timed.name}: ${trial.seconds} s is beyond the limit; enter it as not done.`;
  }
  for (const measured of trial.measures) {
    const fault = measuredFault(measured, protocol);
    if (fault !== undefined) return fault;
  }
  return undefined;
};
