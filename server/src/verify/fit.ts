import type { EvaluationEvent } from '@unhindered/shared-types';

/** What the verifier keeps of the fit: whether a check is asked for, each outcome, what was corrected, the last override. */
export interface FitReplay {
  fit: {
    asked: boolean;
    outcomes: Map<string, string>;
    corrected: Set<string>;
    /** How many checks stood at the last override. */
    overriddenAt: number;
  };
  seats: Map<string, unknown>;
}

export const emptyFit = (): FitReplay['fit'] => ({
  asked: false,
  outcomes: new Map(),
  corrected: new Set(),
  overriddenAt: -1,
});

/** Whether the first round may open: the newest check passed, or nothing was checked since the last override. */
export const mayOpen = ({ fit }: FitReplay): boolean =>
  !fit.asked ||
  [...fit.outcomes.values()].at(-1) === 'passed' ||
  fit.overriddenAt === fit.outcomes.size;

/** FI-5: takes a fit check or an override; returns what is wrong with it in the light of the ones before. */
export const takeFit = (
  { fit, seats }: FitReplay,
  event: Extract<EvaluationEvent, { type: 'fit-checked' | 'fit-overridden' }>,
): string | undefined => {
  if (event.type === 'fit-overridden') {
    if (!fit.asked || mayOpen({ fit, seats })) return 'there was no fit check to go without';
    fit.overriddenAt = fit.outcomes.size;
    return undefined;
  }
  const { fit: id, check, replaces } = event.data;
  if (fit.outcomes.has(id)) return 'the fit check is there already';
  if (!seats.has(check.checker)) return 'who checked the fit has no seat';
  if (replaces !== null && (!fit.outcomes.has(replaces) || fit.corrected.has(replaces))) {
    return 'no such fit check stands to be corrected';
  }
  const results = check.steps.map((s) => s.result);
  const sound = results.includes('met') && !results.includes('not-met');
  if (check.outcome === 'passed' && !sound) return 'a fit check passed with a step that is not met';
  if (replaces !== null) fit.corrected.add(replaces);
  fit.outcomes.set(id, check.outcome);
  return undefined;
};
