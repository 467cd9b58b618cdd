import { protocolTasks, type CardTrials, type Protocol } from '@unhindered/shared-types';
import { bareMultiple } from './bare-multiple.ts';
import { taskEvidence } from './evidence.ts';
import type { EvaluationState } from './state.ts';

/**
 * CC-4: what the timed attempts on the bench say of each task, for the care card: the same trials and the same middle
 * time as everywhere else (TR-3), so that card and record never differ. An attempt that was not done is longer than any
 * time; where the middle falls on one there is no middle time.
 */
export const cardTrials = (
  { trials }: Pick<EvaluationState, 'trials'>,
  protocol: Protocol,
): Map<string, CardTrials> =>
  new Map(
    protocolTasks(protocol).flatMap(({ id }) => {
      const found = taskEvidence(trials, protocol, id);
      if (!found || found.valid === 0) return [];
      const { done, valid: of, medianSeconds } = found;
      return [[id, { done, of, medianSeconds, bare: bareMultiple(found.comparison) }] as const];
    }),
  );
