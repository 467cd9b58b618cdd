import {
  protocolTasks,
  type AccessAnswer,
  type BareMultiple,
  type Comparison,
  type Protocol,
  type TrialList,
} from '@unhindered/shared-types';
import { taskEvidence } from './evidence.ts';

/**
 * CC-5: how many times as long a task took as without the equipment, for card and comparison: the multiple of Desk and
 * record, never without who stands behind it.
 */
export const bareMultiple = (comparison: Comparison): BareMultiple | null => {
  if (comparison.kind === 'none' || comparison.ratio === null) return null;
  const { kind, ratio: times, n } = comparison;
  return { times, kind, n };
};

/** Of every task of a protocol that has one, in the protocol's order. */
export const bareMultiples = (trials: TrialList, protocol: Protocol): AccessAnswer['bare'] =>
  protocolTasks(protocol).flatMap(({ id: task, title }) => {
    const found = taskEvidence(trials, protocol, task);
    const multiple = found && bareMultiple(found.comparison);
    return multiple ? [{ task, title, ...multiple }] : [];
  });
