import { describe, expect, test } from 'vitest';
import { compressionFigures } from '../../../server/src/measures/compressions.ts';
import { ventilationFigures } from '../../../server/src/measures/ventilations.ts';
import { must } from '../../support/expect-figure.ts';

const at = (...times: number[]) =>
  times.map((seconds) => ({
    seconds,
    depthMm: undefined,
    released: undefined,
    handCorrect: undefined,
  }));
const run = (from: number, n: number, interval: number): number[] =>
  Array.from({ length: n }, (_, i) => from + i * interval);

describe('compressions', () => {
  test('the rate is that of the runs; a gap of a second ends a run and is a pause', () => {
    const found = compressionFigures(at(...run(0, 5, 0.5), ...run(7, 5, 0.6)));
    expect(found).toMatchObject({ n: 10, runs: 2, span: [0, 9.4] });
    expect(must(found.rate)).toBeCloseTo(60 / 0.55, 10);
    expect(found.pauses).toEqual([{ from: 2, seconds: expect.closeTo(5 - 0.55, 10) }]);
    expect(must(found.fraction)).toBeCloseTo((9.4 - 4.45) / 9.4, 10);
    expect(compressionFigures(at(0, 0.999)).runs).toBe(1);
    expect(compressionFigures(at(0, 1)).runs).toBe(2);
  });

  test('waiting before the first and after the last compression counts within the span', () => {
    const found = compressionFigures(at(...run(3, 5, 0.5)), { from: 0, to: 10 });
    expect(found.pauses).toEqual([
      { from: 0, seconds: 3 },
      { from: 5, seconds: 4.5 },
    ]);
    expect(must(found.fraction)).toBeCloseTo(0.25, 10);
    expect(must(found.longestPause)).toBe(4.5);
  });

  test('shares count what was measured, and nothing measured is no data', () => {
    const found = compressionFigures([
      { seconds: 0, depthMm: 50, released: true, handCorrect: undefined },
      { seconds: 0.5, depthMm: 60.1, released: false, handCorrect: undefined },
      { seconds: 1, depthMm: undefined, released: undefined, handCorrect: undefined },
    ]);
    expect(must(found.depth)).toBeCloseTo(55.05, 10);
    expect(must(found.depthInTarget)).toMatchObject({ successes: 1, of: 2 });
    expect(must(found.released)).toMatchObject({ successes: 1, of: 2 });
    expect(found.handCorrect).toEqual({ ok: false, why: 'no data' });
  });

  test('no compression is no figure, and one has no rate', () => {
    const none = compressionFigures([]);
    expect(none).toMatchObject({ n: 0, runs: 0, rate: { ok: false }, fraction: { ok: false } });
    expect(none.longestPause.ok).toBe(false);
    expect(compressionFigures(at(4)).rate).toEqual({
      ok: false,
      why: 'no two compressions in one run',
    });
  });
});

describe('ventilations', () => {
  const breath = (seconds: number, success?: boolean, volumeMl?: number) => ({
    seconds,
    success,
    volumeMl,
    inspirationS: undefined,
  });
  test('success is what was recorded, never guessed from the volume', () => {
    const breaths = [breath(12, false, 100), breath(15, true, 500), breath(20, undefined, 600)];
    const found = ventilationFigures(breaths, { from: 10, to: 70 });
    expect(must(found.success)).toMatchObject({ successes: 1, of: 2 });
    expect(must(found.volume)).toBeCloseTo(400, 10);
    expect(must(found.rate)).toBe(3);
    expect(must(found.firstSuccess)).toBe(5);
    expect(found.inspiration).toEqual({ ok: false, why: 'no inspiratory time' });
  });
  test('a rate needs the span; a first breath needs one that went in', () => {
    expect(ventilationFigures([breath(1, true)]).rate.ok).toBe(false);
    expect(ventilationFigures([breath(1, false)], { from: 0 }).firstSuccess.ok).toBe(false);
    expect(ventilationFigures([]).success).toEqual({ ok: false, why: 'no data' });
  });
});
