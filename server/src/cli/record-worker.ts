import { parentPort } from 'node:worker_threads';
import { paperFonts } from '../adapters/paper-fonts.ts';
import type { RecordQuestion } from '../flows/records.ts';
import { makeRecord } from './make-record.ts';

const answer = async (id: number, question: RecordQuestion): Promise<void> => {
  try {
    parentPort?.postMessage({ id, answer: await makeRecord(question, paperFonts) });
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    parentPort?.postMessage({ id, error: why });
  }
};

/** The thread that makes records; see adapters/worker-figures.ts for the messages. */
parentPort?.on('message', ({ id, question }: { id: number; question: RecordQuestion }) => {
  void answer(id, question);
});
