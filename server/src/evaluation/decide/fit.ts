import { done, refused, unfitFor, type FitCheck } from '@unhindered/shared-types';
import { fitStanding } from '../fit.ts';
import type { EvaluationState } from '../state.ts';
import type { Handlers } from './context.ts';

const UNFIT = {
  unmet: 'A step is not met. Put it right, or record the check as failed.',
  nothingMet: 'No step was met. Check one step at least.',
} as const;

/** A check with a step that is not met has failed, and one in which nothing was met has not passed. */
const outcomeFault = ({ steps, outcome }: FitCheck): string | undefined => {
  const unfit = outcome === 'passed' ? unfitFor(steps) : null;
  return unfit === null ? undefined : UNFIT[unfit];
};

/** FI-3: a correction names a check that stands, and says why; the check itself stays. */
const correctionFault = (
  state: EvaluationState,
  replaces: string | null,
  reason: string | null,
): ReturnType<typeof refused> | undefined => {
  if (replaces === null) return undefined;
  if (!state.fitChecks.has(replaces)) {
    return refused('unknown-thing', 'There is no such fit check here.');
  }
  if ([...state.fitChecks.values()].some((c) => c.replaces === replaces)) {
    return refused(
      'already-decided',
      'That fit check was corrected already. Correct the newer one.',
    );
  }
  return reason === null
    ? refused('reason-required', 'Say why the fit check is corrected.')
    : undefined;
};

export const fitHandlers: Pick<Handlers, 'check-fit' | 'override-fit'> = {
  'check-fit': (state, { check, replaces, reason }, context) => {
    const fault = outcomeFault(check);
    if (fault !== undefined) return refused('bad-input', fault, { place: 'check.outcome' });
    if (!state.seats.has(check.checker)) {
      return refused('unknown-thing', 'Who checked has no seat in this evaluation.');
    }
    const wrong = correctionFault(state, replaces, reason);
    if (wrong) return wrong;
    const data = { fit: context.newId('ft'), check, replaces, reason: replaces && reason };
    return done([{ type: 'fit-checked', data }]);
  },

  'override-fit': (state, { reason }) => {
    const standing = fitStanding(state);
    return standing === 'missing' || standing === 'failed'
      ? done([{ type: 'fit-overridden', data: { reason } }])
      : refused('nothing-to-decide', 'The first round may open as it is.');
  },
};
