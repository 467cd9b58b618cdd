import { describe, expect, test } from 'vitest';
import type { HeadMotion, Pause } from '../../../shared-types/src/index.ts';
import { angleMarks, depthMarks } from '../../../web/src/components/series-marks.ts';
import {
  curvePath,
  extentOf,
  numberMarks,
  roundTicks,
  stretchesOf,
} from '../../../web/src/components/series-plot.ts';
import { seriesRows, thresholdWords } from '../../../web/src/components/series-rows.ts';
import { readSeries } from '../../../server/src/measures/read-series.ts';
import { manikinFile } from '../../support/manikin-file.ts';
import { MOTION_MAPPING, motionFile } from '../../support/motion-file.ts';

const points = (...values: number[]) => values.map((value, seconds) => ({ seconds, value }));

describe('a plot of a series', () => {
  test.each([
    [0, 100, 5, [0, 20, 40, 60, 80, 100]],
    [-11.4, 11.5, 5, [-10, -5, 0, 5, 10]],
    [0, 0.3, 3, [0, 0.1, 0.2, 0.3]],
    [2, 2, 4, [2]],
  ])('round numbers from %d to %d', (least, most, count, ticks) => {
    expect(roundTicks(least, most, count)).toEqual(ticks);
  });

  test('holds the datum, whatever the values', () => {
    expect(extentOf([points(5, 7), points(3)])).toEqual({ from: 0, to: 1, least: 0, most: 7 });
    expect(extentOf([[]])).toEqual({ from: 0, to: 0, least: 0, most: 0 });
  });

  test('its table loses no peak', () => {
    const values = points(...Array.from({ length: 1000 }, (_, i) => (i === 777 ? 99 : i % 7)));
    const table = stretchesOf(values, 24);
    expect(table).toHaveLength(24);
    expect(Math.max(...table.map((s) => s.most))).toBe(99);
    expect(table.find((s) => s.most === 99)).toMatchObject({ least: 0 });
    expect(table.find((s) => s.most === 99)?.from).toBeLessThanOrEqual(777);
    expect(stretchesOf(points(4))).toEqual([{ from: 0, to: 0, least: 4, most: 4 }]);
  });

  test('a curve is broken where samples are missing', () => {
    const path = curvePath(
      points(0, 1, 2, 3),
      (s) => s,
      (v) => v,
      [{ from: 1, to: 2 }],
    );
    expect(path).toBe('M0.0 0.0L1.0 1.0M2.0 2.0L3.0 3.0');
  });
});

describe('the numbers of marks', () => {
  const numbers = (...at: number[]): [string, number][] =>
    numberMarks(
      at.map((from) => ({ from, label: '' })),
      (seconds) => seconds,
    ).map((m) => [m.number, m.up]);

  test('stand on a second line where they would touch, and are drawn together where both are taken', () => {
    expect(numbers(0, 100)).toEqual([
      ['1', 0],
      ['2', 0],
    ]);
    expect(numbers(0, 10, 20)).toEqual([
      ['1', 0],
      ['2', 18],
      ['3', 0],
    ]);
    expect(numbers(0, 4, 5, 6, 60)).toEqual([
      ['1', 0],
      ['2–4', 18],
      ['', 0],
      ['', 0],
      ['5', 0],
    ]);
  });
});

describe('what is marked', () => {
  test('the largest angles and the longest gaps, in order of time', () => {
    const gap = (from: number, missing: number) => ({ from, to: from + 1, missing });
    const motion = {
      helical: { ok: true, value: { degrees: 9, seconds: 5 } },
      excursion: { ok: true, value: { degrees: 12, seconds: [1, 8] } },
      gaps: [gap(2, 1), ...Array.from({ length: 8 }, (_, i) => gap(10 + i, 5 + i))],
    } as unknown as HeadMotion;
    const { marks, more } = angleMarks(motion);
    expect(marks.map((m) => m.from)).toEqual([1, 5, 8, 12, 13, 14, 15, 16, 17]);
    expect(more).toBe(3);
    expect(marks.at(-1)?.label).toBe('Gap, 12 samples lost');
  });

  test('the longest pauses and the first breaths, each said to have gone in or not', () => {
    const pauses: Pause[] = [
      { from: 3, seconds: 2 },
      { from: 30, seconds: 11 },
    ];
    const { marks } = depthMarks(pauses, [
      { seconds: 4, success: true },
      { seconds: 5, success: false },
      { seconds: 6, success: undefined },
    ]);
    expect(marks.map((m) => m.label)).toEqual([
      'Pause of 2.0 s',
      'Breath went in',
      'Breath did not go in',
      'Breath',
      'Pause of 11.0 s',
    ]);
  });
});

describe('the figures in words', () => {
  const valueOf = (rows: ReturnType<typeof seriesRows>, name: RegExp): string | undefined =>
    rows.find((r) => name.test(r.name))?.value;

  test('of a manikin, with the intervals that its file was made of', () => {
    const reading = readSeries({
      kind: 'manikin',
      mapping: {
        delimiter: ';',
        decimal: ',',
        time: { column: 'Time (s)', unit: 's' },
        depth: { column: 'Compression depth (mm)', unit: 'mm' },
        released: 'Full release',
        hand: null,
        volume: { column: 'Volume (ml)', unit: 'ml' },
        success: 'Breath success',
        inspiration: null,
      },
      span: { from: 0, to: 40 },
    });
    reading.push(manikinFile());
    const read = reading.end();
    if (!read.ok || 'motion' in read) throw new Error('not read');
    const rows = seriesRows(read);
    // 60 / 0.55 = 109.09; (24 x 54.5 + 6 x 45.5) / 30 = 52.7; pauses 6.05 - 0.55 and 2.05 - 0.55 of 40 s.
    expect(valueOf(rows, /^Rate/u)).toBe('109.1 /min');
    expect(valueOf(rows, /^Mean depth/u)).toBe('52.7 mm');
    expect(valueOf(rows, /^Depth in target/u)).toBe('80 % (48 of 60)');
    expect(valueOf(rows, /^Compression fraction/u)).toBe('83 %');
    expect(valueOf(rows, /^Longest pause/u)).toBe('5.5 s');
    expect(valueOf(rows, /^Breaths that went in/u)).toBe('50 % (1 of 2)');
    expect(rows.find((r) => r.measure === 'p_hand')).toMatchObject({ known: false });
    expect(read.depths).toHaveLength(60);
    expect(read.breaths).toEqual([
      { seconds: 18, success: true },
      { seconds: 20, success: false },
    ]);
  });

  test('of a motion, with a curve for each plane that reaches its ends', () => {
    const reading = readSeries({ kind: 'motion', mapping: MOTION_MAPPING });
    for (const line of motionFile(3000)) reading.push(line);
    const read = reading.end();
    if (!read.ok || !('motion' in read)) throw new Error('not read');
    const { planes, planeCurves } = read.motion;
    if (!planes.ok || !planeCurves.ok) throw new Error('no planes');
    for (const plane of ['flexion', 'sideBending', 'rotation'] as const) {
      const values = planeCurves.value[plane].map((p) => p.value);
      expect(Math.max(...values)).toBe(planes.value[plane].most);
      expect(Math.min(...values)).toBe(planes.value[plane].least);
      expect(values.length).toBeLessThanOrEqual(1002);
    }
    const rows = seriesRows(read);
    expect(valueOf(rows, /flexion/u)).toMatch(/^\d+\.\d°$/u);
    expect(rows.find((r) => /flexion/u.test(r.name))?.basis[0]).toMatch(/^\u2212\d/u);
  });

  test('ME-1: a house value is said to be one', () => {
    const answer = {
      thresholds: {
        cc_rate: { published: true, text: '100 to 120', label: 'published: a table' },
        theta_max: { published: false, text: '20 and 30', label: 'house value' },
      },
    } as unknown as Parameters<typeof thresholdWords>[0];
    expect(thresholdWords(answer, 'cc_rate')).toBe('100 to 120 (published: a table)');
    expect(thresholdWords(answer, 'theta_max')).toMatch(/not a published limit/u);
    expect(thresholdWords(answer, 'ccf')).toBeUndefined();
  });
});
