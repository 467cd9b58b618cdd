import {
  roundHalfUp,
  type PooledShareCriterion,
  type Protocol,
  type TaskCriterion,
  type TrialCriterion,
} from '@unhindered/shared-types';
import { trialCriterionMet } from '../consensus/gate.ts';
import { wilson } from '../consensus/proportion-interval.ts';
import { judgeTrial, type CriterionAnswer } from './trial-criterion.ts';
import type { MeasuredTrial } from './trial.ts';

/** What the trials say about a critical failure. It proposes; only a moderator's confirmation gates (GA-1). */
export interface GateProposal {
  outcome: 'met' | 'not-met' | 'not-enough-trials';
  /** Trials, or pooled attempts, in which the criterion was met, and those that could be judged. */
  met: number;
  valid: number;
  /** Valid trials in which what the criterion asks for was not measured. */
  unknown: number;
  /** Empty for a share that is pooled over the trials. */
  trials: { trial: string; answer: CriterionAnswer }[];
  /** Trials that measured values answered, and those whose recorder marked the other thing. */
  measured: number;
  differs: number;
  sentence: string;
}

type Rule = Protocol['gate'];

const OUTCOMES = {
  met: 'The trial criterion is met',
  'not-met': 'The trial criterion is not met',
  'not-enough-trials': 'Not enough trials to say whether the criterion is met',
} as const;

const percent = (share: number): string => `${roundHalfUp(share * 100, 1)} %`;

const pooled = (of: PooledShareCriterion, trials: readonly MeasuredTrial[]): GateProposal => {
  const counted = trials.flatMap((t) => t.values.get(of.measure)?.counts ?? []);
  const attempts = counted.reduce((sum, c) => sum + c.of, 0);
  const successes = counted.reduce((sum, c) => sum + c.successes, 0);
  const limits = wilson(successes, attempts);
  const low = attempts > 0 && successes / attempts < of.below && (limits?.[1] ?? 1) < of.upperBelow;
  const outcome = attempts < of.minAttempts ? 'not-enough-trials' : low ? 'met' : 'not-met';
  const share = limits
    ? `, ${percent(successes / attempts)} (95 % limits ${percent(limits[0])} to ${percent(limits[1])})`
    : '';
  const sentence =
    `${OUTCOMES[outcome]}: ${String(successes)} of ${String(attempts)} attempts succeeded${share}; ` +
    `it asks for at least ${String(of.minAttempts)} attempts, a share below ${percent(of.below)} ` +
    `and an upper limit below ${percent(of.upperBelow)}.`;
  return {
    outcome,
    met: attempts - successes,
    valid: attempts,
    unknown: trials.length - counted.length,
    trials: [],
    measured: counted.length,
    differs: 0,
    sentence,
  };
};

/**
 * ME-4: a trial criterion is met in at least `minValidTrials` valid trials and in at least `minShareOfValidTrials` of
 * them; with fewer valid trials it says "not enough trials" and never gates. Trials in which the criterion could not
 * be judged do not count as valid for it. A pooled share of which nobody counted anything is judged by the marks.
 * `trials` are all valid trials of the task, reference ones among them.
 */
export const gateProposal = (
  criterion: TaskCriterion,
  trials: readonly MeasuredTrial[],
  rule: Rule,
): GateProposal => {
  const equipment = trials.filter((t) => t.condition === 'equipment');
  if (criterion.kind === 'pooled-share') {
    const counts = equipment.some((t) => t.values.get(criterion.measure)?.counts !== undefined);
    const marked = equipment.some((t) => t.criterionSeen !== null);
    if (counts || !marked) return pooled(criterion, equipment);
  }
  const own: TrialCriterion = criterion.kind === 'pooled-share' ? { kind: 'recorded' } : criterion;
  const answers = equipment.map((t) => ({ trial: t.id, ...judgeTrial(own, t, trials) }));
  const valid = answers.filter((a) => a.answer !== 'unknown').length;
  const met = answers.filter((a) => a.answer === 'met').length;
  const unknown = answers.length - valid;
  const outcome = trialCriterionMet(met, valid, rule.minValidTrials, rule.minShareOfValidTrials);
  const aside = unknown > 0 ? `; ${String(unknown)} more could not be judged` : '';
  const sentence =
    `${OUTCOMES[outcome]}: met in ${String(met)} of ${String(valid)} valid trials${aside}; it asks for ` +
    `at least ${String(rule.minValidTrials)} and ${percent(rule.minShareOfValidTrials)} of them.`;
  return {
    outcome,
    met,
    valid,
    unknown,
    trials: answers.map(({ trial, answer }) => ({ trial, answer })),
    measured: answers.filter((a) => a.measured).length,
    differs: answers.filter((a) => a.differs).length,
    sentence,
  };
};
