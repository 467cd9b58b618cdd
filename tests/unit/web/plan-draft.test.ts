import { describe, expect, test } from 'vitest';
import type { Protocol } from '../../../shared-types/src/index.ts';
import { planDraft, readPlan, type PlanDraft } from '../../../web/src/state/plan-draft.ts';

const protocol = {
  sections: [{ tasks: [{ id: 'mask-off', title: 'Mask off', measures: [] }] }],
  ladders: [],
  measures: [],
} as unknown as Protocol;
const version = { id: 'pr_1', version: '1.0.0' };

const filled = (by: Partial<PlanDraft> = {}): PlanDraft => {
  const draft = planDraft(protocol);
  const tasks = draft.tasks.map((t) => ({ ...t, chosen: true }));
  return { ...draft, tasks, operators: 'k1, k2', conditions: 'As worn\nWithout it', ...by };
};

describe('the form of a plan', () => {
  test('is read as typed: codes in capitals, a condition a line, a comma as a point', () => {
    const read = readPlan(filled({ rest: '2,5', seed: '4711' }), version);
    if ('fault' in read) throw new Error(read.fault);
    expect(read.body.operators).toEqual(['K1', 'K2']);
    expect(read.body.conditions).toEqual(['As worn', 'Without it']);
    expect(read.body.rules.restMinutes).toBe(2.5);
    expect(read.body.seed).toBe(4711);
  });

  test.each<[Partial<PlanDraft>, string, RegExp]>([
    [{ operators: ' ' }, 'operators', /^Type the operators/u],
    [{ operators: 'k1 K1' }, 'operators', /^“K1” stands twice/u],
    [{ conditions: 'As worn\nAs worn' }, 'conditions', /^“As worn” stands twice/u],
    [{ seed: '0' }, 'seed', /whole number from 1/u],
    [{ rest: 'long' }, 'rest', /type a number/u],
    [{ start: '' }, 'start', /time of the first trial/u],
  ])('names the field where %j is mended', (by, field, words) => {
    expect(readPlan(filled(by), version)).toEqual({
      fault: expect.stringMatching(words) as string,
      field,
    });
  });

  test('names a field of its parts in words, as they have places of their own', () => {
    const draft = filled();
    const tasks = draft.tasks.map((t) => ({ ...t, trialMinutes: 'x' }));
    const read = readPlan({ ...draft, tasks }, version);
    expect(read).toMatchObject({ field: null });
    expect('fault' in read && read.fault).toContain('Mask off');
  });
});
