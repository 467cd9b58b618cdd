import type { CriterionPart, TaskCriterion } from '@unhindered/shared-types';
import type { FieldSpec } from './draft-parts.ts';

/** PR-14: how a task's trial criterion is put in numbers; `none` is no criterion in the file. */
export const PART_KINDS = [
  'not-done-within',
  'above',
  'away-from-zero',
  'below-reference',
  'recorded',
] as const satisfies readonly CriterionPart['kind'][];
export const CRITERION_KINDS = [...PART_KINDS, 'any', 'pooled-share'] as const;
export type CriterionKind = TaskCriterion['kind'];

const number = (key: string): FieldSpec => ({ key, kind: 'number' });

/** The numbers that each kind asks for, beside its measure, in the order they are shown. */
export const CRITERION_FIELDS: Record<CriterionKind, readonly FieldSpec[]> = {
  'not-done-within': [number('seconds')],
  above: [number('limit')],
  'away-from-zero': [number('limit')],
  'below-reference': [number('limit'), number('by')],
  recorded: [],
  any: [],
  'pooled-share': [number('below'), number('upperBelow'), number('minAttempts')],
};

const isPart = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * What a criterion begins with when its kind is chosen: what the one before has of it stays, and numbers that nobody has
 * given yet are empty, which the check asks for. `measures` are the ids that the task takes.
 */
export const freshCriterion = (
  kind: CriterionKind,
  before: unknown,
  measures: readonly string[],
): Record<string, unknown> => {
  const old = isPart(before) ? before : {};
  if (kind === 'any') {
    const first = isPart(before) && old['kind'] !== 'pooled-share' ? old : { kind: 'recorded' };
    return { kind, of: [first, { kind: 'recorded' }] };
  }
  if (kind === 'recorded') return { kind };
  const numbers = CRITERION_FIELDS[kind].map(({ key }) => [key, old[key] ?? '']);
  const measure = typeof old['measure'] === 'string' ? old['measure'] : (measures[0] ?? '');
  return { kind, measure, ...(Object.fromEntries(numbers) as Record<string, unknown>) };
};
