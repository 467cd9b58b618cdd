import type { Rejection, SeriesImport, SeriesQuestion } from '@unhindered/shared-types';
import { sendSeries, type SeriesSent } from '../sync/series-api.ts';

type Ended = Exclude<SeriesSent['state'], 'read'>;

/** The server reads two files at a time: a third one asks again so often. */
const QUEUE_MS = 2000;

/** A file and how it is read. */
export interface SeriesOrder {
  file: Blob;
  question: SeriesQuestion;
}

/**
 * SR-7: one file on its way to be read. When it is cut, cancelled or refused, file and columns stay as they were chosen
 * and it can be tried again; what an earlier file gave stays on show until another one is read.
 */
export class SeriesReading {
  state = $state.raw<'idle' | 'queued' | 'sending' | 'working' | 'read' | Ended>('idle');
  sent = $state(0);
  /** Why the server refused it. */
  why = $state.raw<Rejection | null>(null);
  result = $state.raw<{ answer: SeriesImport; order: SeriesOrder } | null>(null);
  readonly #evaluation: string;
  #cancel: (() => void) | null = null;

  constructor(evaluation: string) {
    this.#evaluation = evaluation;
  }

  get busy(): boolean {
    return ['queued', 'sending', 'working'].includes(this.state);
  }

  async start(order: SeriesOrder): Promise<void> {
    if (this.busy) return;
    let end = await this.#send(order);
    while (end.state === 'refused' && end.rejection.code === 'try-again') {
      this.state = 'queued';
      end = (await this.#waited()) ? await this.#send(order) : { state: 'cancelled' };
    }
    this.state = end.state;
    if (end.state === 'read') this.result = { answer: end.answer, order };
    if (end.state === 'refused') this.why = end.rejection;
  }

  async #send(order: SeriesOrder): Promise<SeriesSent> {
    this.state = 'sending';
    this.sent = 0;
    this.why = null;
    const { done, cancel } = sendSeries(this.#evaluation, order.file, order.question, (sent) => {
      this.sent = Math.min(sent, order.file.size);
      if (this.busy) this.state = sent >= order.file.size ? 'working' : 'sending';
    });
    this.#cancel = cancel;
    const end = await done;
    this.#cancel = null;
    return end;
  }

  /** Waits its turn; false when it was cancelled meanwhile. */
  async #waited(): Promise<boolean> {
    const went = await new Promise<boolean>((resolve) => {
      const timer = setTimeout(() => resolve(true), QUEUE_MS);
      this.#cancel = () => {
        clearTimeout(timer);
        resolve(false);
      };
    });
    this.#cancel = null;
    return went;
  }

  cancel(): void {
    this.#cancel?.();
  }

  /** Another file was chosen: what was said of the one before is of no use. */
  forget(): void {
    this.cancel();
    if (!this.busy) this.state = 'idle';
    this.result = null;
  }

  destroy(): void {
    this.cancel();
  }
}
