import { expect, onTestFinished, test } from 'vitest';
import { WorkerFigures } from '../../../server/src/adapters/worker-figures.ts';

/** Doubles numbers, refuses negative ones, and dies of 13. */
const SCRIPT = new URL(
  `data:text/javascript,${encodeURIComponent(`
    import { parentPort } from 'node:worker_threads';
    parentPort.on('message', ({ id, question }) => {
      if (question === 13) process.exit(1);
      parentPort.postMessage(question < 0 ? { id, error: 'negative' } : { id, answer: question * 2 });
    });
  `)}`,
);

const doubling = (): WorkerFigures<number, number> => {
  const figures = new WorkerFigures<number, number>(SCRIPT);
  onTestFinished(() => figures.close());
  return figures;
};

test('each question gets its own answer', async () => {
  const figures = doubling();
  expect(await Promise.all([1, 2, 3].map((n) => figures.ask(n)))).toEqual([2, 4, 6]);
});

test('a question that fails says why, and the next one is answered', async () => {
  const figures = doubling();
  await expect(figures.ask(-1)).rejects.toThrow('negative');
  expect(await figures.ask(4)).toBe(8);
});

test('a thread that dies takes its questions with it; the next question starts another', async () => {
  const figures = doubling();
  await expect(figures.ask(13)).rejects.toThrow('the thread ended');
  expect(await figures.ask(5)).toBe(10);
});
