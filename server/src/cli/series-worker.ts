import { parentPort, workerData } from 'node:worker_threads';
import type { SeriesQuestion } from '@unhindered/shared-types';
import { readSeries } from '../measures/read-series.ts';

/** The thread that reads one imported series; see adapters/worker-series.ts for the messages. */
const series = readSeries(workerData as SeriesQuestion);
// Fatal: a file in another encoding is refused rather than read with its signs replaced.
const decoder = new TextDecoder('utf-8', { fatal: true });

const answer = (message: { piece: Uint8Array } | { end: true }): unknown => {
  if ('end' in message) {
    series.push(decoder.decode());
    return { answer: series.end() };
  }
  series.push(decoder.decode(message.piece, { stream: true }));
  return { rows: series.rows() };
};

parentPort?.on('message', (message: { piece: Uint8Array } | { end: true }) => {
  try {
    parentPort?.postMessage(answer(message));
  } catch (error) {
    const why =
      error instanceof TypeError
        ? 'the file is not UTF-8 text: save it as CSV UTF-8'
        : error instanceof RangeError
          ? error.message
          : String(error);
    parentPort?.postMessage({ error: why });
  }
});
