import type { Outcome, Rejection } from '@unhindered/shared-types';

/** Something asked of the server over HTTP: being loaded, there, or refused. A later answer wins over an earlier one. */
export class Asked<T> {
  value = $state.raw<T | null>(null);
  refusal = $state.raw<Rejection | null>(null);
  loading = $state(false);
  #turn = 0;

  async ask(question: () => Promise<Outcome<T>>): Promise<void> {
    const turn = ++this.#turn;
    this.loading = true;
    const answer = await question();
    if (turn !== this.#turn) return;
    this.loading = false;
    this.refusal = answer.ok ? null : answer.rejection;
    if (answer.ok) this.value = answer.value;
  }
}
