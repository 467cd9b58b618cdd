import { createHash } from 'node:crypto';
import type { Figures } from '../ports/figures.ts';

/** What can be made of a bundle: the record for a screen, a printed file, or one file of the open data. */
export type RecordForm =
  { form: 'document' } | { form: 'paper'; paper: 'a4' | 'letter' } | { form: 'data'; file: string };

export type RecordQuestion = RecordForm & { bundle: Uint8Array; names: boolean };

/** The bytes of the file; null when there is no such file. */
export interface RecordAnswer {
  bytes: Uint8Array | null;
}

/** Most files kept: a locked evaluation never changes, so a file is good for ever. */
const KEPT = 24;

/**
 * Records of locked evaluations, made in a thread of their own so that no panel waits for a printed file, and
 * kept while they are asked for. A file is known by the hash of the bundle it is made from.
 */
export class Records {
  readonly #maker: Figures<RecordQuestion, RecordAnswer>;
  readonly #kept = new Map<string, Promise<RecordAnswer>>();

  constructor(maker: Figures<RecordQuestion, RecordAnswer>) {
    this.#maker = maker;
  }

  of(question: RecordQuestion): Promise<RecordAnswer> {
    const { bundle, ...form } = question;
    const hash = createHash('sha256').update(bundle).digest('hex');
    const key = `${hash} ${JSON.stringify(form)}`;
    const made = this.#kept.get(key) ?? this.#maker.ask(question);
    this.#kept.delete(key);
    this.#kept.set(key, made);
    const [oldest] = this.#kept.keys();
    if (this.#kept.size > KEPT && oldest !== undefined) this.#kept.delete(oldest);
    // What failed may succeed another time.
    made.catch(() => this.#kept.delete(key));
    return made;
  }

  close(): Promise<void> {
    return this.#maker.close();
  }
}
