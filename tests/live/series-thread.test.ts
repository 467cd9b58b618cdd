import { expect, test } from 'vitest';
import { WorkerSeries } from '../../server/src/adapters/worker-series.ts';
import { readSeries } from '../../server/src/measures/read-series.ts';
import type { SeriesAnswer, SeriesQuestion } from '../../shared-types/src/index.ts';
import { MOTION_MAPPING, motionFile } from '../support/motion-file.ts';

const SCRIPT = new URL('../../server/dist/series-worker.js', import.meta.url);
const QUESTION: SeriesQuestion = { kind: 'motion', mapping: MOTION_MAPPING };
const begin = () => new WorkerSeries<SeriesQuestion, SeriesAnswer>(SCRIPT).begin(QUESTION);

test('the built thread reads a file cut anywhere, with its progress, as it is read here', async () => {
  const text = [...motionFile(2000)].join('').replace('head w', 'head \u03B8');
  const mapping = {
    ...MOTION_MAPPING,
    head: { kind: 'quaternion' as const, columns: ['head \u03B8', 'head x', 'head y', 'head z'] },
  };
  const question: SeriesQuestion = { kind: 'motion', mapping };
  const reading = new WorkerSeries<SeriesQuestion, SeriesAnswer>(SCRIPT).begin(question);
  const bytes = Buffer.from(text);
  const rows: number[] = [];
  // The second byte of the two-byte letter falls into the next piece.
  const cuts = [0, bytes.indexOf('\u03B8') + 1, 5000, 5001, 90_000, bytes.length];
  for (const [i, from] of cuts.slice(0, -1).entries()) {
    rows.push(await reading.push(bytes.subarray(from, cuts[i + 1])));
  }
  const here = readSeries(question);
  here.push(text);
  expect(await reading.end()).toEqual(here.end());
  expect(rows).toEqual(rows.toSorted((a, b) => a - b));
  expect(rows.at(-1)).toBe(2000);
});

test('a file that is not UTF-8 is refused, and the reason can be read', async () => {
  const reading = begin();
  await expect(reading.push(Uint8Array.from([0x61, 0xe9, 0x2c]))).rejects.toThrow(
    'the file is not UTF-8 text: save it as CSV UTF-8',
  );
  await reading.cancel();
});
