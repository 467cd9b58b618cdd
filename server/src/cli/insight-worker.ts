import { parentPort } from 'node:worker_threads';
import { insight, type InsightQuestion } from '../evaluation/insight.ts';

/** The thread that computes insights; see adapters/worker-figures.ts for the messages. */
parentPort?.on('message', ({ id, question }: { id: number; question: InsightQuestion }) => {
  try {
    parentPort?.postMessage({ id, answer: insight(question) });
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    parentPort?.postMessage({ id, error: why });
  }
});
