import { worstPoint, type Protocol } from '@unhindered/shared-types';
import type { TaskEvidence } from './evidence.ts';

/** The protocol's constants of the rule below, scale points; undefined when it does not use the rule. */
const constants = (protocol: Protocol): { better: number; worst: number } | undefined => {
  const { evidence } = protocol.divergence;
  if (evidence === null) return undefined;
  return evidence ?? { better: (protocol.scale.max - protocol.scale.min) / 2, worst: 0 };
};

/**
 * TR-4: trials speak against a rating when they meet the trial criterion and it lies in the better half of the scale
 * (nearer than `better` points to its best point); or when every one of enough trials was done, none met the criterion
 * where there is one (a pooled share of attempts: it is not met), and it lies at the worst point (within `worst` points). Returns the reviewers.
 */
export const contradictedReviewers = (
  steps: readonly { reviewer: string; value: number }[],
  evidence: TaskEvidence | undefined,
  protocol: Protocol,
): string[] => {
  const rule = constants(protocol);
  if (!evidence || !rule) return [];
  const { scale, gate } = protocol;
  const worst = worstPoint(scale);
  const best = scale.min + scale.max - worst;
  const { valid, done, criterion } = evidence;
  if (criterion?.status === 'met') {
    return steps.filter((s) => Math.abs(s.value - best) < rule.better).map((s) => s.reviewer);
  }
  const neverMet =
    criterion === null ||
    (criterion.pooled === undefined
      ? criterion.met === 0 && criterion.judged === valid
      : criterion.status === 'not-met');
  if (valid < gate.minValidTrials || done < valid || !neverMet) return [];
  return steps.filter((s) => Math.abs(s.value - worst) <= rule.worst).map((s) => s.reviewer);
};
