import { expect, test } from 'vitest';
import { WorkerSeries } from '../../../server/src/adapters/worker-series.ts';

/** Counts bytes as rows, refuses a piece that begins with 0, dies of 13. */
const SCRIPT = new URL(
  `data:text/javascript,${encodeURIComponent(`
    import { parentPort, workerData } from 'node:worker_threads';
    let rows = workerData.from;
    parentPort.on('message', (message) => {
      if (message.end) return parentPort.postMessage({ answer: { rows } });
      if (message.piece[0] === 13) process.exit(1);
      if (message.piece[0] === 0) return parentPort.postMessage({ error: 'no text' });
      rows += message.piece.length;
      parentPort.postMessage({ rows });
    });
  `)}`,
);
const begin = () =>
  new WorkerSeries<{ from: number }, { rows: number }>(SCRIPT).begin({ from: 100 });

test('pieces are taken in order, with progress, and the answer follows the last', async () => {
  const reading = begin();
  const buffer = new Uint8Array([1, 2, 3]);
  expect(await reading.push(buffer)).toBe(103);
  expect(buffer.length, 'the buffer stays with the caller').toBe(3);
  const nodes = Buffer.from([0, 1, 2, 3]);
  expect(await reading.push(nodes.subarray(1))).toBe(106);
  expect(nodes.length, "a Buffer's memory stays too").toBe(4);
  expect(await Promise.all([reading.push(buffer), reading.push(buffer)])).toEqual([109, 112]);
  expect(await reading.end()).toEqual({ rows: 112 });
});

test('a refused piece says why', async () => {
  const reading = begin();
  await expect(reading.push(new Uint8Array([0]))).rejects.toThrow('no text');
  await reading.cancel();
});

test('a cancelled reading rejects what is waited for, and what is asked after', async () => {
  const reading = begin();
  const pushed = reading.push(new Uint8Array([1]));
  const refused = expect(pushed).rejects.toThrow('the reading was cancelled');
  await reading.cancel();
  await refused;
  await expect(reading.end()).rejects.toThrow('cancelled');
});

test('a thread that dies rejects what is waited for', async () => {
  const reading = begin();
  await expect(reading.push(new Uint8Array([13]))).rejects.toThrow('the reading ended');
  await expect(reading.end()).rejects.toThrow('the reading ended');
});
