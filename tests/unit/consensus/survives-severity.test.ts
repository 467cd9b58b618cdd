import { expect, test } from 'vitest';
import { defaultRule } from '../../../server/src/consensus/divergence-rule.ts';
import { ratingFlags } from '../../../server/src/consensus/divergence.ts';
import { survivesSeverity } from '../../../server/src/consensus/survives-severity.ts';

const rule = defaultRule({ min: 0, max: 5, better: 'lower' });
const answers = {
  steps: [
    { reviewer: 'A', value: 1 },
    { reviewer: 'B', value: 1 },
    { reviewer: 'C', value: 4 },
  ],
  notApplicable: [],
  critical: [],
};
const habits = (c: number | undefined) => (reviewer: string) =>
  reviewer === 'C' ? c : -(c ?? 0) / 2;

test('a reviewer who always rates two points higher explains the distance', () => {
  expect(ratingFlags(answers, rule)).toHaveLength(1);
  expect(survivesSeverity(answers, rule, habits(2))).toEqual({ ok: true, value: false });
});
test('a habit of half a point does not', () => {
  expect(survivesSeverity(answers, rule, habits(0.3))).toEqual({ ok: true, value: true });
});
test('without habits nothing changes', () => {
  expect(survivesSeverity(answers, rule, () => 0)).toEqual({ ok: true, value: true });
});
test('one habit that cannot be estimated leaves the question open', () => {
  expect(survivesSeverity(answers, rule, habits(undefined))).toEqual({
    ok: false,
    why: 'the habit of C cannot be estimated',
  });
});
