import type { RecordDocument, Rejection } from '@unhindered/shared-types';
import { api } from '../sync/api.ts';

/** The record of a locked evaluation, asked for once: it never changes. */
export class LockedRecord {
  document = $state.raw<RecordDocument | null>(null);
  /** Why there is none yet; null while it is on its way. */
  refusal = $state.raw<Rejection | null>(null);
  #asked = '';

  /** Asks for an evaluation's record unless it was asked for already. */
  async load(evaluation: string): Promise<void> {
    if (this.#asked === evaluation) return;
    this.#asked = evaluation;
    this.document = null;
    this.refusal = null;
    const answer = await api.record(evaluation);
    if (this.#asked !== evaluation) return;
    if (answer.ok) this.document = answer.value;
    else {
      this.refusal = answer.rejection;
      this.#asked = '';
    }
  }
}
