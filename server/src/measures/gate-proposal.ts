import { roundHalfUp, type Protocol } from '@unhindered/shared-types';
import { trialCriterionMet } from '../consensus/gate.ts';
import { wilson } from '../consensus/proportion-interval.ts';
import { meetsCriterion, type CriterionAnswer, type TrialCriterion } from './trial-criterion.ts';
import type { MeasuredTrial } from './trial.ts';

/** A share of attempts pooled over the trials of a task, with its own least number of attempts. */
export interface PooledShareCriterion {
  kind: 'pooled-share';
  measure: string;
  /** The share must lie below this, and its upper 95 % Wilson limit below `upperBelow`; as fractions. */
  below: number;
  upperBelow: number;
  minAttempts: number;
}

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
    sentence,
  };
};

/**
 * ME-4: a trial criterion is met in at least `minValidTrials` valid trials and in at least `minShareOfValidTrials` of
 * them; with fewer valid trials it says "not enough trials" and never gates. Trials in which the criterion could not
 * be judged do not count as valid for it. `trials` are all valid trials of the task, reference ones among them.
 */
export const gateProposal = (
  criterion: TrialCriterion | PooledShareCriterion,
  trials: readonly MeasuredTrial[],
  rule: Rule,
): GateProposal => {
  const equipment = trials.filter((t) => t.condition === 'equipment');
  if (criterion.kind === 'pooled-share') return pooled(criterion, equipment);
  const answers = equipment.map((t) => ({
    trial: t.id,
    answer: meetsCriterion(criterion, t, trials),
  }));
  const valid = answers.filter((a) => a.answer !== 'unknown').length;
  const met = answers.filter((a) => a.answer === 'met').length;
  const unknown = answers.length - valid;
  const outcome = trialCriterionMet(met, valid, rule.minValidTrials, rule.minShareOfValidTrials);
  const aside = unknown > 0 ? `; ${String(unknown)} more could not be judged` : '';
  const sentence =
    `${OUTCOMES[outcome]}: met in ${String(met)} of ${String(valid)} valid trials${aside}; it asks for ` +
    `at least ${String(rule.minValidTrials)} and ${percent(rule.minShareOfValidTrials)} of them.`;
  return { outcome, met, valid, unknown, trials: answers, sentence };
};
