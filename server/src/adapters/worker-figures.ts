import { Worker } from 'node:worker_threads';
import type { Figures } from '../ports/figures.ts';

interface Pending<Answer> {
  resolve: (answer: Answer) => void;
  reject: (error: Error) => void;
}

/**
 * Asks a script in a thread of its own, started with the first question. The script answers each message
 * `{ id, question }` with `{ id, answer }` or `{ id, error }`. A thread that dies takes its open questions with it;
 * the next question starts another.
 */
export class WorkerFigures<Question, Answer> implements Figures<Question, Answer> {
  readonly #script: URL;
  readonly #pending = new Map<number, Pending<Answer>>();
  #worker: Worker | undefined;
  #last = 0;

  constructor(script: URL) {
    this.#script = script;
  }

  ask(question: Question): Promise<Answer> {
    const worker = (this.#worker ??= this.#start());
    const id = ++this.#last;
    return new Promise((resolve, reject) => {
      this.#pending.set(id, { resolve, reject });
      worker.postMessage({ id, question });
    });
  }

  async close(): Promise<void> {
    await this.#worker?.terminate();
  }

  #start(): Worker {
    const worker = new Worker(this.#script);
    // A computation nobody waits for must not keep the program alive.
    worker.unref();
    worker.on('message', (message: { id: number; answer?: Answer; error?: string }) => {
      const pending = this.#pending.get(message.id);
      this.#pending.delete(message.id);
      if (message.answer !== undefined) pending?.resolve(message.answer);
      else pending?.reject(new Error(message.error ?? 'no answer'));
    });
    worker.on('error', (error) => this.#lose(worker, error));
    worker.on('exit', () => this.#lose(worker, new Error('the thread ended')));
    return worker;
  }

  #lose(worker: Worker, error: unknown): void {
    if (this.#worker !== worker) return;
    this.#worker = undefined;
    const why = error instanceof Error ? error : new Error(String(error));
    for (const { reject } of this.#pending.values()) reject(why);
    this.#pending.clear();
  }
}
