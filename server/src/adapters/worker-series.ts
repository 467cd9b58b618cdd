import { Worker } from 'node:worker_threads';
import type { SeriesReader, SeriesReading } from '../ports/series.ts';

interface Waiting {
  resolve: (value: unknown) => void;
  reject: (error: Error) => void;
}

type Said = { rows: number } | { answer: unknown } | { error: string };

/** One reading in a thread of its own; the thread takes one message after the other and answers each. */
class WorkerReading<Answer> implements SeriesReading<Answer> {
  readonly #worker: Worker;
  readonly #waiting: Waiting[] = [];
  #lost: Error | undefined;

  constructor(script: URL, question: unknown) {
    this.#worker = new Worker(script, { workerData: question });
    // A reading nobody waits for must not keep the program alive.
    this.#worker.unref();
    this.#worker.on('message', (said: Said) => {
      const next = this.#waiting.shift();
      if ('error' in said) next?.reject(new Error(said.error));
      else next?.resolve('answer' in said ? said.answer : said.rows);
    });
    this.#worker.on('error', (error) =>
      this.#lose(error instanceof Error ? error : new Error(String(error))),
    );
    this.#worker.on('exit', () => this.#lose(new Error('the reading ended')));
  }

  push(bytes: Uint8Array): Promise<number> {
    // A copy of its own goes over, so that the caller keeps the buffer. Not slice(): a Buffer's is a view, and the
    // whole of what it looks into would move.
    const piece = new Uint8Array(bytes);
    return this.#ask({ piece }, [piece.buffer]) as Promise<number>;
  }

  async end(): Promise<Answer> {
    const answer = (await this.#ask({ end: true }, [])) as Answer;
    await this.#worker.terminate();
    return answer;
  }

  async cancel(): Promise<void> {
    this.#lose(new Error('the reading was cancelled'));
    await this.#worker.terminate();
  }

  #ask(message: unknown, moved: ArrayBuffer[]): Promise<unknown> {
    return new Promise((resolve, reject) => {
      if (this.#lost) return reject(this.#lost);
      this.#waiting.push({ resolve, reject });
      this.#worker.postMessage(message, moved);
    });
  }

  #lose(why: Error): void {
    this.#lost ??= why;
    for (const { reject } of this.#waiting.splice(0)) reject(this.#lost);
  }
}

/** Reads each file in a thread started for it, by a script that answers `{ piece }` and `{ end }` in order. */
export class WorkerSeries<Question, Answer> implements SeriesReader<Question, Answer> {
  readonly #script: URL;

  constructor(script: URL) {
    this.#script = script;
  }

  begin(question: Question): SeriesReading<Answer> {
    return new WorkerReading<Answer>(this.#script, question);
  }
}
