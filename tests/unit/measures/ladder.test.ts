import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { seededChance } from '../../../server/src/analysis/seeded-chance.ts';
import { accessFigures } from '../../../server/src/measures/access-figures.ts';
import { ladderClosedForm } from '../../../server/src/measures/ladder-closed-form.ts';
import {
  accessBy,
  accessCurve,
  accessDistribution,
  accessQuantile,
} from '../../../server/src/measures/ladder.ts';
import type { Rung } from '../../../server/src/measures/rung.ts';
import { must } from '../../support/expect-figure.ts';

const done = (seconds: number, operator = 'a') => ({ operator, seconds, done: true });
const failed = (seconds: number, operator = 'a') => ({ operator, seconds, done: false });
const rung = (id: string, trials: Rung['trials'], capSeconds: number | null = 180): Rung => ({
  id,
  capSeconds,
  trials,
});

/** Unscrew, cut, take the helmet off; invented. */
const LADDER = [
  rung('unscrew', [done(22), done(31), done(64), failed(40), failed(180)]),
  rung('cut', [done(45), done(70), failed(180)]),
  rung('helmet', [done(60), done(95)], 300),
];

describe('time to access with fallback', () => {
  test('by hand: a screw that fails after 10 s, then a cutter that takes 20 s', () => {
    const found = accessDistribution([
      rung('unscrew', [done(15), failed(10)]),
      rung('cut', [done(20)]),
    ]);
    expect(found.atoms).toEqual([
      { seconds: 15, probability: 0.5, rung: 0 },
      { seconds: 30, probability: 0.5, rung: 1 },
    ]);
    expect(found.begun).toEqual([1, 0.5]);
    expect(accessCurve(found)).toEqual([
      { seconds: 0, probability: 0 },
      { seconds: 15, probability: 0.5 },
      { seconds: 30, probability: 1 },
    ]);
  });

  test('a trial past its cap failed at the cap; done at the cap is done', () => {
    const found = accessDistribution([
      rung('unscrew', [done(180), done(181), failed(500)]),
      rung('cut', [done(20)]),
    ]);
    expect(found.atoms.map((a) => [a.seconds, Math.round(a.probability * 3)])).toEqual([
      [180, 1],
      [200, 2],
    ]);
  });

  test('what never gets access is missing from one, and the median may not be reached', () => {
    const found = accessDistribution([rung('unscrew', [done(20), failed(180), failed(180)])]);
    expect(found.access).toBeCloseTo(1 / 3, 12);
    expect(accessQuantile(found, 0.5)).toBeUndefined();
    expect(accessQuantile(found, 1 / 3)).toBe(20);
    const figures = accessFigures(
      [rung('unscrew', [done(20), failed(180), failed(180)])],
      seededChance(1).stream(),
      50,
    );
    expect(figures.median).toEqual({ reached: false });
    expect(must(figures.medianLimits).upper).toEqual({ reached: false });
  });

  test('against a simulation of 40,000 cases (seed 5): within four standard errors', () => {
    const next = seededChance(5).stream();
    const pick = <T>(of: readonly T[]): T => of[Math.floor(next() * of.length)] as T;
    const cases = 40_000;
    const times = Array.from({ length: cases }, () => {
      let spent = 0;
      for (const { trials, capSeconds } of LADDER) {
        const trial = pick(trials);
        spent += Math.min(trial.seconds, capSeconds ?? Infinity);
        if (trial.done) return spent;
      }
      return Infinity;
    });
    const found = accessDistribution(LADDER);
    for (const seconds of [30, 60, 90, 120, 180, 240, 300, 400, 600]) {
      const p = accessBy(found, seconds);
      const seen = times.filter((t) => t <= seconds).length / cases;
      const se = Math.sqrt((p * (1 - p)) / cases);
      expect(Math.abs(seen - p), `by ${String(seconds)} s, seed 5`).toBeLessThanOrEqual(4 * se);
    }
    expect(accessQuantile(found, 0.5)).toBe(64);
  });

  const trials = fc.array(
    fc.record({
      operator: fc.constantFrom('a', 'b'),
      seconds: fc.integer({ min: 1, max: 2000 }).map((t) => t / 10),
      done: fc.boolean(),
    }),
    { minLength: 1, maxLength: 5 },
  );

  test('the closed form from the trials is the mean of the distribution', () => {
    fc.assert(
      fc.property(fc.array(trials, { minLength: 1, maxLength: 4 }), (of) => {
        const ladder = of.map((t, i) => rung(String(i), t));
        const { atoms, access } = accessDistribution(ladder);
        const { closedForm } = accessFigures(ladder, () => 0, 1);
        const form = must(closedForm);
        expect(form.access).toBeCloseTo(access, 10);
        if (access === 0) {
          expect(form.meanToAccess.ok).toBe(false);
          return;
        }
        const mean = atoms.reduce((sum, a) => sum + a.seconds * a.probability, 0) / access;
        expect(must(form.meanToAccess)).toBeCloseTo(mean, 6);
      }),
      { seed: 52 },
    );
  });

  test('ME-2: how late a failure was noted after its cap changes nothing', () => {
    fc.assert(
      fc.property(trials, fc.integer({ min: 180, max: 5000 }), (of, late) => {
        const at = (seconds: number) =>
          accessDistribution([rung('unscrew', [...of, failed(seconds)]), rung('cut', [done(20)])]);
        expect(at(late)).toEqual(at(180));
      }),
      { seed: 53 },
    );
  });
});

describe('limits by bootstrap', () => {
  test('the same seed gives the same limits, and they hold the estimate', () => {
    const of = (seed: number, replicates = 300) =>
      accessFigures(LADDER, seededChance(seed).stream(), replicates);
    expect(of(9)).toEqual(of(9));
    expect(of(9, 3).by).not.toEqual(of(10, 3).by);
    for (const { probability, limits } of of(9).by) {
      if (!limits.ok) continue;
      expect(limits.value.lower).toBeLessThanOrEqual(probability);
      expect(limits.value.upper).toBeGreaterThanOrEqual(probability);
    }
  });

  test('trials that are all alike have no limits, rather than limits of no width', () => {
    const alike = accessFigures([rung('pin', [done(20), done(20), done(20)])], () => 0.5, 50);
    expect(alike.by[0]).toEqual({
      seconds: 30,
      probability: 1,
      limits: { ok: false, why: expect.stringMatching(/too alike or too few/u) },
    });
    expect(alike.medianLimits.ok).toBe(false);
    expect(must(alike.rungs[0]?.share ?? { ok: false, why: '' }).limits[0]).toBeCloseTo(0.4385, 4);
  });

  test('ME-5: fewer than eight trials or operators are said to be too few', () => {
    const many = (operators: number, n: number) => [
      rung(
        'pin',
        Array.from({ length: n }, (_, i) => done(20 + i, String(i % operators))),
      ),
    ];
    const notes = (operators: number, n: number) =>
      accessFigures(many(operators, n), () => 0.5, 5).notes.join(' ');
    expect(notes(8, 8)).not.toMatch(/cannot be trusted/u);
    expect(notes(7, 21)).toMatch(/21 trials .* 7 operators.*cannot be trusted/u);
    expect(notes(7, 7)).toMatch(/cannot be trusted/u);
    expect(notes(8, 16)).toMatch(/Several trials of one operator/u);
    expect(notes(8, 8)).not.toMatch(/Several trials/u);
  });

  test('a technique without trials makes the figures lower bounds, and says so', () => {
    const found = accessFigures(
      [rung('pin', [done(20), failed(180)]), rung('cut', [])],
      () => 0,
      5,
    );
    expect(found.access).toBe(0.5);
    expect(found.notes.join(' ')).toMatch(/No trial of cut.*lower bounds/u);
    expect(found.closedForm).toEqual({ ok: false, why: 'no trial of cut' });
    expect(accessFigures([rung('pin', [])], () => 0, 5)).toMatchObject({ access: 0 });
  });
});

describe('the closed form', () => {
  test('by hand: 0.7 within 40 s on average, else 180 s lost, then 0.9 within 60 s', () => {
    const found = ladderClosedForm([
      { success: 0.7, meanDone: 40, meanFailed: 180 },
      { success: 0.9, meanDone: 60, meanFailed: 180 },
    ]);
    expect(found.access).toBeCloseTo(0.97, 12);
    expect(found.begun[1]).toBeCloseTo(0.3, 12);
    expect(must(found.meanToAccess)).toBeCloseTo((0.7 * 40 + 0.27 * 240) / 0.97, 10);
  });
  test('shares and times that cannot be are refused', () => {
    const rungs = (success: number, meanDone: number) => [{ success, meanDone, meanFailed: 1 }];
    expect(() => ladderClosedForm(rungs(1.1, 1))).toThrow(RangeError);
    expect(() => ladderClosedForm(rungs(0.5, -1))).toThrow(RangeError);
    expect(ladderClosedForm(rungs(0, 1)).meanToAccess.ok).toBe(false);
  });
});
