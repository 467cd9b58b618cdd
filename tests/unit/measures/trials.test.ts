import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  referenceComparison,
  type OperatorValue,
} from '../../../server/src/measures/reference-comparison.ts';
import { shareDifference } from '../../../server/src/measures/share-difference.ts';
import { timesSummary } from '../../../server/src/measures/times-summary.ts';
import { must } from '../../support/expect-figure.ts';

const done = (value: number) => ({ value, censored: false });
const out = (value = 180) => ({ value, censored: true });

describe('times of one condition', () => {
  test('failures rank last in the median and enter no mean', () => {
    const summary = timesSummary([done(20), done(30), done(70), out(), out()], 180);
    expect(summary).toMatchObject({ n: 5, done: 3, notDone: 2, undecided: 0, cap: 180 });
    expect(must(summary.median)).toEqual({ reached: true, seconds: 70 });
    expect(must(summary.meanOfDone)).toMatchObject({ n: 3, mean: 40 });
    expect(must(summary.share)).toMatchObject({ successes: 3, of: 5, share: 0.6 });
  });

  test('the median is not reached when half or more were not done', () => {
    const of = (...times: { value: number; censored: boolean }[]) =>
      must(timesSummary(times, 180).median);
    expect(of(done(20), out())).toEqual({ reached: false });
    expect(of(done(20), done(30), out(), out())).toEqual({ reached: false });
    expect(of(done(20), done(30), out())).toEqual({ reached: true, seconds: 30 });
    expect(of(done(20), done(31), done(40), out())).toEqual({ reached: true, seconds: 35.5 });
    expect(of(out())).toEqual({ reached: false });
  });

  test('a time past the cap is a failure; a trial that ended before it tells nothing', () => {
    const summary = timesSummary([done(200), done(20), out(40)], 180);
    expect(summary).toMatchObject({ n: 2, done: 1, notDone: 1, undecided: 1 });
    expect(must(summary.meanOfDone)).toEqual({ n: 1, mean: 20, sd: undefined });
  });

  test('without a cap, not done is not done when the trial ended', () => {
    expect(timesSummary([done(200), out(40)], null)).toMatchObject({ done: 1, notDone: 1 });
  });

  test('nothing of nothing is no data, not zero', () => {
    const none = timesSummary([], 180);
    expect(none.share).toEqual({ ok: false, why: 'no data' });
    expect(none.median).toEqual({ ok: false, why: 'no trial' });
    expect(timesSummary([out()], 180).meanOfDone).toEqual({ ok: false, why: 'no trial was done' });
  });

  test('ME-2: where the censored times stand changes no figure', () => {
    const times = fc.array(fc.integer({ min: 1, max: 1700 }), { maxLength: 12 });
    fc.assert(
      fc.property(times, fc.nat(6), fc.integer({ min: 180, max: 9999 }), (tenths, failures, at) => {
        const finished = tenths.map((t) => done(t / 10));
        const failed = (seconds: number) => Array.from({ length: failures }, () => out(seconds));
        const one = timesSummary([...finished, ...failed(180)], 180);
        expect(timesSummary([...failed(at), ...finished], 180)).toEqual(one);
        if (one.meanOfDone.ok) {
          expect(one.meanOfDone.value.mean).toBeLessThanOrEqual(170);
        }
      }),
      { seed: 51 },
    );
  });
});

describe('the equipment against the reference', () => {
  const of = (operator: string, condition: OperatorValue['condition'], ...times: number[]) =>
    times.map((t): OperatorValue => ({ operator, condition, ...(t > 0 ? done(t) : out(-t)) }));

  test('operators are paired, each with one mean', () => {
    const found = referenceComparison([
      ...of('a', 'equipment', 30, 34),
      ...of('b', 'equipment', 40),
      ...of('c', 'equipment', 50, 50, 50),
      ...of('d', 'equipment', 44),
      ...of('a', 'reference', 16),
      ...of('b', 'reference', 20, 20),
      ...of('c', 'reference', 25),
      ...of('d', 'reference', 22),
      ...of('e', 'reference', 99),
    ]);
    expect(found).toMatchObject({ design: 'paired', n: { equipment: 4, reference: 4 }, notes: [] });
    // By hand: differences 16, 20, 25, 22: mean 20.75, SD 3.775, t(3) 3.182446.
    expect(must(found.difference).mean).toBeCloseTo(20.75, 10);
    expect(must(found.difference).limits[0]).toBeCloseTo(20.75 - 3.182446 * (3.7749172 / 2), 5);
    expect(must(found.ratio)).toBeCloseTo(2, 10);
    expect(must(found.operatorRatio).ratio).toBeCloseTo(2, 10);
  });

  test('ME-2: an operator who did not finish a trial is left out, and the note says so', () => {
    const found = referenceComparison([
      ...of('a', 'equipment', 30),
      ...of('b', 'equipment', 40),
      ...of('c', 'equipment', 50, -180),
      ...of('a', 'reference', 15),
      ...of('b', 'reference', 20),
      ...of('c', 'reference', 25),
    ]);
    expect(found.n).toEqual({ equipment: 2, reference: 2 });
    expect(must(found.difference).mean).toBeCloseTo(17.5, 10);
    expect(found.notes.join(' ')).toMatch(/not done have no time.*fewer than four operators/u);
  });

  test('different people are compared by Welch over their means, with a note', () => {
    const found = referenceComparison([
      ...of('a', 'equipment', 30, 32),
      ...of('b', 'equipment', 40),
      ...of('c', 'reference', 20),
      ...of('d', 'reference', 26),
    ]);
    expect(found).toMatchObject({ design: 'unpaired', n: { equipment: 2, reference: 2 } });
    expect(must(found.difference).mean).toBeCloseTo(12.5, 10);
    expect(found.operatorRatio.ok).toBe(false);
    expect(found.notes).toEqual([expect.stringMatching(/^Different people/u)]);
  });

  test('one person alone is compared over trials, and the limits are called too narrow', () => {
    const found = referenceComparison([
      ...of('a', 'equipment', 30, 36),
      ...of('a', 'reference', 20, 22),
    ]);
    expect(found).toMatchObject({ design: 'unpaired', n: { equipment: 2, reference: 2 } });
    expect(found.notes).toEqual([expect.stringMatching(/limits are too narrow/u)]);
  });

  test('what cannot be computed says why', () => {
    expect(referenceComparison([]).difference).toEqual({
      ok: false,
      why: 'fewer than two values in one of the groups',
    });
    const zero = referenceComparison([
      ...of('a', 'equipment', 3),
      { operator: 'a', condition: 'reference', value: 0, censored: false },
    ]);
    expect(zero.ratio).toEqual({ ok: false, why: 'the reference mean is zero' });
  });

  test('a difference of shares says when its operators are the same', () => {
    const a = { successes: 3, trials: 3 };
    expect(must(shareDifference(a, a, true)).note).toMatch(/only a guide/u);
    expect(must(shareDifference(a, a, false)).note).toBeUndefined();
    expect(shareDifference(a, { successes: 0, trials: 0 }, false).ok).toBe(false);
  });
});
