import { describe, expect, test } from 'vitest';
import { DEFAULT_CRITERIA } from '../../support/trials.ts';
import { gateProposal } from '../../../server/src/measures/gate-proposal.ts';
import type { MeasuredTrial } from '../../../server/src/measures/trial.ts';
import { withinCap } from '../../../server/src/measures/within-cap.ts';

const RULE = { minValidTrials: 2, minShareOfValidTrials: 0.5 };
type Value = number | { out: number } | [successes: number, of: number];

const trial = (
  values: Record<string, Value>,
  more: Partial<MeasuredTrial> = {},
): MeasuredTrial => ({
  id: 't',
  operator: 'a',
  condition: 'equipment',
  criterionSeen: null,
  values: new Map(
    Object.entries(values).map(([id, x]) => [
      id,
      Array.isArray(x)
        ? { value: (100 * x[0]) / x[1], censored: false, counts: { successes: x[0], of: x[1] } }
        : typeof x === 'number'
          ? { value: x, censored: false, counts: undefined }
          : { value: x.out, censored: true, counts: undefined },
    ]),
  ),
  ...more,
});
const propose = (task: string, trials: MeasuredTrial[]) =>
  gateProposal(DEFAULT_CRITERIA.get(task) ?? expect.fail(task), trials, RULE);
const outcome = (task: string, trials: MeasuredTrial[]): string => propose(task, trials).outcome;

describe('ME-3: done at the cap counts as done', () => {
  test('C26: attached at 180.0 s fails, off at 179.9 s and at 180.0 s succeeds (cap: Swartz 2010; edge: house rule)', () => {
    expect(withinCap({ value: 180, censored: true }, 180)).toBe('not-done');
    expect(withinCap({ value: 179.9, censored: false }, 180)).toBe('done');
    expect(withinCap({ value: 180, censored: false }, 180)).toBe('done');
    expect(withinCap({ value: 180.04, censored: false }, 180)).toBe('done');
    expect(withinCap({ value: 180.05, censored: false }, 180)).toBe('not-done');
  });
  test('a trial that ended before the cap, not done, tells nothing', () => {
    expect(withinCap({ value: 60, censored: true }, 180)).toBe('unknown');
  });
  test('C03: a pulse decision at 10.0 s meets the ten seconds, at 10.1 s it does not (AHA adult BLS)', () => {
    const two = (t: number) => [trial({ t_pulse: t }), trial({ t_pulse: t })];
    expect(outcome('pulse-check', two(10))).toBe('not-met');
    expect(outcome('pulse-check', two(10.1))).toBe('met');
  });
});

describe('ME-4: a criterion needs its trials', () => {
  const off = trial({ t_fm: 60 });
  const stuck = trial({ t_fm: { out: 180 } });

  test.each<[string, MeasuredTrial[]]>([
    ['not-enough-trials', []],
    ['not-enough-trials', [stuck]],
    ['met', [stuck, stuck]],
    ['met', [stuck, stuck, off]],
    ['met', [stuck, stuck, off, off]],
    ['not-met', [stuck, stuck, off, off, off]],
    ['not-met', [stuck, off]],
  ])('%s', (expected, trials) => {
    expect(outcome('fm-tool-first', trials)).toBe(expected);
  });

  test('reference trials and trials that could not be judged are not valid ones', () => {
    const reference = trial({ t_fm: { out: 180 } }, { condition: 'reference' });
    expect(outcome('fm-tool-first', [stuck, reference, reference])).toBe('not-enough-trials');
    const found = propose('fm-tool-first', [stuck, trial({ t_fm: { out: 20 } }), trial({})]);
    expect(found).toMatchObject({ outcome: 'not-enough-trials', met: 1, valid: 1, unknown: 2 });
    expect(found.sentence).toBe(
      'Not enough trials to say whether the criterion is met: met in 1 of 1 valid trials; ' +
        '2 more could not be judged; it asks for at least 2 and 50.0 % of them.',
    );
  });

  test('each trial has its answer', () => {
    expect(propose('fm-tool-first', [stuck, { ...off, id: 'u' }]).trials).toEqual([
      { trial: 't', answer: 'met' },
      { trial: 'u', answer: 'not-met' },
    ]);
  });
});

describe('the kinds of criterion', () => {
  const twice = (t: MeasuredTrial) => [t, t];

  test('depth counts against the same operator without the equipment', () => {
    const reference = (depth: number, operator = 'a') =>
      trial({ cc_depth_mm: depth }, { condition: 'reference', operator });
    const shallow = trial({ cc_depth_mm: 39 });
    const of = (trials: MeasuredTrial[]) => outcome('cpr-compressions', trials);
    expect(of([...twice(shallow), reference(49)])).toBe('met');
    expect(of([...twice(shallow), reference(48.9)])).toBe('not-met');
    expect(of([...twice(shallow), reference(47), reference(51)])).toBe('met');
    expect(of([...twice(shallow), reference(60, 'b')]), 'another rescuer').toBe(
      'not-enough-trials',
    );
    expect(of([...twice(trial({ cc_depth_mm: 40 })), reference(60)])).toBe('not-met');
    expect(of(twice(trial({}, { criterionSeen: true })))).toBe('met');
  });

  test('an angle counts either way, and one part met is enough', () => {
    expect(outcome('combined-removal', twice(trial({ delta_fe_end: -5.1 })))).toBe('met');
    expect(outcome('combined-removal', twice(trial({ delta_fe_end: 5 })))).toBe('not-met');
    expect(outcome('helmet-removal', twice(trial({ t_helmet: 80, theta_max: 31 })))).toBe('met');
    expect(outcome('helmet-removal', twice(trial({ t_helmet: 80 })))).toBe('not-met');
    expect(outcome('helmet-removal', twice(trial({})))).toBe('not-enough-trials');
  });

  test('breaths are pooled, with their Wilson limit', () => {
    const d7 = [trial({ p_vent: [5, 16] }), trial({ p_vent: [4, 16] }), trial({ p_vent: [5, 16] })];
    const found = propose('bvm-ventilation', d7);
    expect(found).toMatchObject({ outcome: 'met', met: 34, valid: 48, unknown: 0 });
    expect(found.sentence).toMatch(
      /14 of 48 attempts succeeded, 29\.2 % \(95 % limits 18\.2 % to/u,
    );
    expect(outcome('bvm-ventilation', [trial({ p_vent: [2, 19] })])).toBe('not-enough-trials');
    expect(outcome('bvm-ventilation', [trial({ p_vent: [10, 20] })])).toBe('not-met');
    expect(propose('bvm-ventilation', []).sentence).toMatch(/0 of 0 attempts succeeded;/u);
  });
});
