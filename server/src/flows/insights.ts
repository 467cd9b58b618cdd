import type { InsightSlice } from '@unhindered/shared-types';
import type { InsightQuestion } from '../evaluation/insight.ts';
import type { Figures } from '../ports/figures.ts';
import type { Log } from '../ports/log.ts';

interface Known {
  question: InsightQuestion;
  key: string;
  slice: InsightSlice | null;
}

/**
 * The insights of evaluations in use, asked once for each state of the ratings: most events (a settlement, a
 * remark) leave them as they are. They are computed elsewhere, so that no panel waits for the figures of
 * another; until `ready` is called there is none.
 */
export class Insights {
  readonly #figures: Figures<InsightQuestion, InsightSlice>;
  readonly #log: Log;
  readonly #known = new Map<string, Known>();
  #closed = false;
  /** What is waited for before the figures are asked; null when nothing is. */
  after: ((evaluation: string) => Promise<void>) | null = null;
  /** Called with the evaluation whose insight has come. */
  ready: (evaluation: string) => void = () => undefined;

  constructor(figures: Figures<InsightQuestion, InsightSlice>, log: Log) {
    this.#figures = figures;
    this.#log = log;
  }

  /** The answer to an evaluation's question, null while it is being computed. */
  of(evaluation: string, question: InsightQuestion): InsightSlice | null {
    const known = this.#known.get(evaluation);
    if (known?.question === question) return known.slice;
    const key = JSON.stringify(question);
    if (known?.key === key) {
      known.question = question;
      return known.slice;
    }
    this.#known.set(evaluation, { question, key, slice: null });
    void this.#ask(evaluation, key, question);
    return null;
  }

  /** Nobody looks at the evaluation any more. */
  forget(evaluation: string): void {
    this.#known.delete(evaluation);
  }

  close(): Promise<void> {
    this.#closed = true;
    return this.#figures.close();
  }

  async #ask(evaluation: string, key: string, question: InsightQuestion): Promise<void> {
    try {
      if (this.after) await this.after(evaluation);
      if (this.#closed) return;
      const slice = await this.#figures.ask(question);
      // The ratings may have changed meanwhile: then another answer is on its way.
      const known = this.#known.get(evaluation);
      if (known?.key !== key) return;
      known.slice = slice;
      this.ready(evaluation);
    } catch (error) {
      if (this.#closed) return;
      // The key stays: what failed once would fail again at every event.
      this.#log.error(`the insight of ${evaluation} could not be computed`, error);
    }
  }
}
