import { describe, expect, test } from 'vitest';
import { composite } from '../../../server/src/consensus/composite.ts';
import { endorsedComposite } from '../../../server/src/consensus/endorsed-composite.ts';
import { near } from '../../support/reference.ts';

const sections = [
  { id: 'a', weight: 20, tasks: [{ id: 'a1', weight: 1 }] },
  { id: 'b', weight: 14, tasks: [{ id: 'b1', weight: 1 }] },
  { id: 'c', weight: 66, tasks: [{ id: 'c1', weight: 1 }] },
];
const rule = { weight: 6, content: 0, notContent: 5 };
const of = (values: Record<string, number>, count = { content: 3, notContent: 1 }, own = rule) =>
  endorsedComposite(
    composite(sections, (t) => values[t]),
    sections,
    own,
    count,
  );

describe('CO-6: endorsements in the composite', () => {
  test('by hand: a section of weight 6 beside those that were rated', () => {
    const found = of({ a1: 2, b1: 1 });
    // Three content at 0 and one not at 5: 1.25. (20 x 2 + 14 x 1 + 6 x 1.25) / (20 + 14 + 6) = 61.5 / 40.
    expect(found.endorsement).toEqual({ ok: true, value: 1.25 });
    expect(found.value).toEqual({ ok: true, value: 1.5375 });
    expect(found.share).toBe(0.15);
    expect(found.sections).toEqual([0.5, 0.35, 0]);
  });

  test('on a scale where more is better, and with points between the ends', () => {
    const found = of(
      { a1: 8, b1: 6 },
      { content: 1, notContent: 1 },
      { weight: 34, content: 9, notContent: 4 },
    );
    near(
      found.value.ok ? found.value.value : NaN,
      ((20 * 8 + 14 * 6) / 34 + 6.5) / 2,
      'half',
      1e-15,
    );
  });

  test('without a statement, or with the weight 0, nothing moves', () => {
    const plain = composite(sections, (t) => ({ a1: 2, b1: 1 })[t]);
    const silent = of({ a1: 2, b1: 1 }, { content: 0, notContent: 0 });
    expect(silent.value).toEqual(plain.value);
    expect(silent.endorsement).toEqual({ ok: false, why: 'no counted reviewer has said' });
    const weightless = of({ a1: 2, b1: 1 }, undefined, { ...rule, weight: 0 });
    expect(weightless.value).toEqual(plain.value);
    expect(weightless.share).toBe(0);
    expect(weightless.sections).toEqual(plain.sections.map((s) => s.weight));
  });

  test('statements alone make no composite', () => {
    expect(of({}).value).toEqual({ ok: false, why: 'no rated task carries weight' });
    expect(of({}).share).toBe(0);
  });
});
