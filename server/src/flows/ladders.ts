import type { AccessLadder } from '@unhindered/shared-types';
import type { GatheredLadder } from '../evaluation/ladders.ts';
import type { Figures } from '../ports/figures.ts';

/** Answers that are remembered at most, the longest unasked going first. */
const KEPT = 200;

/** Times to access, computed in another thread and remembered for as long as the trials are the same. */
export class Ladders {
  readonly #figures: Figures<GatheredLadder[], AccessLadder[]>;
  readonly #known = new Map<string, Promise<AccessLadder[]>>();

  constructor(figures: Figures<GatheredLadder[], AccessLadder[]>) {
    this.#figures = figures;
  }

  /** Rejects when the thread could not answer; the next question asks again. */
  of(gathered: GatheredLadder[]): Promise<AccessLadder[]> {
    if (gathered.length === 0) return Promise.resolve([]);
    const key = JSON.stringify(gathered);
    const answer = this.#known.get(key) ?? this.#ask(key, gathered);
    this.#known.delete(key);
    this.#known.set(key, answer);
    const [oldest] = this.#known.keys();
    if (this.#known.size > KEPT && oldest !== undefined) this.#known.delete(oldest);
    return answer;
  }

  close(): Promise<void> {
    return this.#figures.close();
  }

  #ask(key: string, gathered: GatheredLadder[]): Promise<AccessLadder[]> {
    const answer = this.#figures.ask(gathered);
    answer.catch(() => this.#known.delete(key));
    return answer;
  }
}
