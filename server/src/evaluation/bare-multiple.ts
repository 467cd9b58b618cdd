import {
  protocolTasks,
  type AccessAnswer,
  type BareMultiple,
  type EvidenceSlice,
  type Protocol,
  type TrialList,
} from '@unhindered/shared-types';
import { taskEvidence } from './evidence.ts';

/**
 * CC-5: how many times as long a task took as without the equipment, for card and comparison: the multiple of the record,
 * each operator beside themselves, and where nobody did both the multiple of the means. Never without its trials.
 */
export const bareMultiple = ({
  comparison,
  valid,
  beside,
}: Pick<EvidenceSlice, 'comparison' | 'valid' | 'beside'>): BareMultiple | null => {
  if (comparison.kind === 'none') return null;
  const times = comparison.operatorRatio?.value ?? comparison.ratio;
  return times === null
    ? null
    : { times, trials: { equipment: valid, reference: beside.reference } };
};

/** Of every task of a protocol that has one, in the protocol's order. */
export const bareMultiples = (trials: TrialList, protocol: Protocol): AccessAnswer['bare'] =>
  protocolTasks(protocol).flatMap(({ id: task, title }) => {
    const found = taskEvidence(trials, protocol, task);
    const multiple = found && bareMultiple(found);
    return multiple ? [{ task, title, ...multiple }] : [];
  });
