import { expect, test } from 'vitest';
import { catalogueMeasureOf } from '../../../server/src/measures/catalogue.ts';
import { compressionFigures } from '../../../server/src/measures/compressions.ts';
import { readMotion } from '../../../server/src/measures/read-motion.ts';
import {
  compressionValues,
  motionValues,
  ventilationValues,
} from '../../../server/src/measures/series-measures.ts';
import { ventilationFigures } from '../../../server/src/measures/ventilations.ts';
import { checkEntry } from '../../../shared-types/src/index.ts';
import { MOTION_MAPPING, motionFile } from '../../support/motion-file.ts';

const motionOf = (lines: string[]) => {
  const reader = readMotion(MOTION_MAPPING);
  for (const line of lines) reader.push(line);
  const read = reader.end();
  return read.ok ? read.motion : expect.fail(JSON.stringify(read.faults));
};
const COMPRESSIONS = compressionFigures(
  Array.from({ length: 20 }, (_, i) => ({
    seconds: i * 0.55,
    depthMm: i < 15 ? 52 : 48,
    released: true,
    handCorrect: i > 0,
  })),
);
const BREATHS = ventilationFigures(
  [1, 2, 3, 4].map((i) => ({
    seconds: i * 6,
    volumeMl: 500 + i,
    success: i > 1,
    inspirationS: 1,
  })),
  { from: 0, to: 24 },
);

test('every value is one of the catalogue, in its unit, and passes its limits', () => {
  const motion = motionValues(motionOf([...motionFile(3000)]));
  const all = [...motion, ...compressionValues(COMPRESSIONS), ...ventilationValues(BREATHS)];
  expect(all.map((v) => v.measure)).toEqual([
    ...['rom_fe', 'rom_lb', 'rom_ar', 'theta_max', 'delta_fe_end'],
    ...['cc_rate', 'cc_depth_mm', 'p_depth', 'p_recoil', 'p_hand', 'ccf', 'pause_max'],
    ...['p_vent', 'vt_ml', 'vent_rate', 't_insp', 't_first_ventilation'],
  ]);
  for (const { measure, entry } of all) {
    const limits = catalogueMeasureOf(measure) ?? expect.fail(measure);
    expect(checkEntry(limits, entry).verdict, `${measure} ${String(entry.value)}`).not.toBe(
      'refuse',
    );
  }
  const of = (measure: string) => all.find((v) => v.measure === measure)?.entry;
  expect(of('cc_rate')?.value).toBeCloseTo(60 / 0.55, 8);
  expect(of('p_depth')).toEqual({ value: 75, censored: false, counts: { successes: 15, of: 20 } });
  expect(of('p_vent')?.counts).toEqual({ successes: 3, of: 4 });
  expect(of('ccf')?.value).toBe(100);
  expect(of('vent_rate')?.value).toBe(10);
});

test('ME-6: a series with too many gaps gives no value', () => {
  const lines = [...motionFile(100)].filter((_, i) => i === 0 || i > 40 || i % 2 === 0);
  const motion = motionOf(lines);
  expect(motion.valid).toBe(false);
  expect(motionValues(motion)).toEqual([]);
});

test('what was not measured gives none', () => {
  expect(compressionValues(compressionFigures([]))).toEqual([]);
  expect(ventilationValues(ventilationFigures([]))).toEqual([]);
});
