import { parentPort } from 'node:worker_threads';

/** Answers the messages of adapters/worker-figures.ts in a thread of its own. */
export const answerQuestions = <Question, Answer>(
  work: (question: Question) => Answer | Promise<Answer>,
): void => {
  const answer = async (id: number, question: Question): Promise<void> => {
    try {
      parentPort?.postMessage({ id, answer: await work(question) });
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      parentPort?.postMessage({ id, error: why });
    }
  };
  parentPort?.on('message', ({ id, question }: { id: number; question: Question }) => {
    void answer(id, question);
  });
};
