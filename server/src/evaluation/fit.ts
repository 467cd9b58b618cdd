import type { FitSlice, FitStanding } from '@unhindered/shared-types';
import type { EvaluationState } from './state.ts';

/**
 * FI-1: how an evaluation stands to its fit check. The newest check counts; an override holds until the next check.
 * Evaluations made before fit checks were asked for are not asked.
 */
export const fitStanding = (state: EvaluationState): FitStanding => {
  if (state.created?.fitCheck !== 'required') return 'not-asked';
  const newest = [...state.fitChecks.values()].at(-1);
  if (newest?.check.outcome === 'passed') return 'passed';
  if (state.fitOverrides.at(-1)?.after === state.fitChecks.size) return 'overridden';
  return newest ? 'failed' : 'missing';
};

/** What everybody sees of the fit: every check with what became of it, and every override. */
export const fitSlice = (state: EvaluationState): FitSlice => {
  const replaced = new Map(
    [...state.fitChecks.values()].flatMap((c) =>
      c.replaces === null ? [] : [[c.replaces, c.fit]],
    ),
  );
  return {
    standing: fitStanding(state),
    checks: [...state.fitChecks.values()].map(({ check, ...about }) => ({
      ...check,
      ...about,
      replacedBy: replaced.get(about.fit) ?? null,
    })),
    overrides: state.fitOverrides.map(({ reason, by, at }) => ({ reason, by, at })),
  };
};
