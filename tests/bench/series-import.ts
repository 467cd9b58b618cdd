import { monitorEventLoopDelay } from 'node:perf_hooks';
import { WorkerSeries } from '../../server/src/adapters/worker-series.ts';
import type { SeriesAnswer, SeriesQuestion } from '../../shared-types/src/index.ts';
import { MOTION_MAPPING, motionFile } from '../support/motion-file.ts';

/**
 * Imports an invented motion series of ROWS rows (200,000) through the built thread and prints how long it took and
 * how far the event loop of the serving thread was held up. Run after `npm run build`: npx tsx tests/bench/series-import.ts
 */
const rows = Number(process.env['ROWS'] ?? 200_000);
const script = new URL('../../server/dist/series-worker.js', import.meta.url);
const bytes = Buffer.from([...motionFile(rows)].join(''));
const PIECE = 64 * 1024;

const delay = monitorEventLoopDelay({ resolution: 1 });
// A second of rest, so that what the loop does anyway can be told from what the import adds.
delay.enable();
await new Promise((resolve) => setTimeout(resolve, 1000));
const rest = { mean: delay.mean / 1e6, p99: delay.percentile(99) / 1e6, max: delay.max / 1e6 };
delay.reset();

const began = performance.now();
const reading = new WorkerSeries<SeriesQuestion, SeriesAnswer>(script).begin({
  kind: 'motion',
  mapping: MOTION_MAPPING,
});
for (let at = 0; at < bytes.length; at += PIECE) {
  await reading.push(bytes.subarray(at, at + PIECE));
}
const answer = await reading.end();
const took = performance.now() - began;
delay.disable();

const shown = (x: { mean: number; p99: number; max: number }): string =>
  `mean ${x.mean.toFixed(1)} ms, 99 % ${x.p99.toFixed(1)} ms, most ${x.max.toFixed(1)} ms`;
const busy = { mean: delay.mean / 1e6, p99: delay.percentile(99) / 1e6, max: delay.max / 1e6 };
process.stdout.write(
  `${String(rows)} rows, ${(bytes.length / 1e6).toFixed(1)} MB: ${(took / 1000).toFixed(2)} s, ` +
    `${answer.ok ? 'read' : 'refused'} ${String(answer.rows)}\n` +
    `event loop at rest: ${shown(rest)}\nevent loop while reading: ${shown(busy)}\n`,
);
process.exit(0);
