import type { FirstLookAnswer, MeAnswer, Outcome, Protocol } from '@unhindered/shared-types';
import { api } from '../sync/api.ts';

const KEY = 'me';

/** What this device keeps; whoever joins does not wait for its code. */
const kept = async () => (await import('../sync/local-store.ts')).localStore;

/** What a page that was opened at a sheet was told with its first answer. */
interface FirstLook {
  evaluation: string;
  look: FirstLookAnswer['look'];
  protocol: Promise<Outcome<Protocol>>;
}

/** Who this browser is signed in as. Without a network the last answer stands. */
export class Session {
  me = $state.raw<MeAnswer | null>(null);
  offline = $state(false);
  #keeping: Promise<unknown> = Promise.resolve();
  #first: FirstLook | null = null;

  /** `sheet` is the evaluation whose sheet the page was opened at: both answers are on their way since its head came. */
  async load(sheet?: string): Promise<void> {
    const answer = (sheet === undefined ? null : await this.#look(sheet)) ?? (await api.me());
    if (answer.ok) {
      this.me = answer.value;
      this.offline = false;
      this.#keeping = kept()
        .then((store) => store.set(KEY, answer.value))
        .catch(() => undefined);
    } else {
      const store = await kept().catch(() => null);
      this.me = (await store?.get<MeAnswer>(KEY)) ?? null;
      this.offline = true;
    }
  }

  /** What the first answer told of its evaluation, once: later it would be older than what the socket says. */
  takeFirst(evaluation: string): FirstLook | null {
    const first = this.#first;
    this.#first = null;
    return first?.evaluation === evaluation ? first : null;
  }

  async #look(evaluation: string): Promise<Outcome<MeAnswer> | null> {
    const protocol = api.protocolOf(evaluation);
    const answer = await api.firstLook(evaluation);
    if (!answer.ok) return answer.rejection.code === 'try-again' ? answer : null;
    const { me, look } = answer.value;
    this.#first = { evaluation, look, protocol };
    return { ok: true, value: me };
  }

  /**
   * Ends the session and clears what this device kept: the next person finds nothing. False, and nothing is cleared, when
   * the server does not answer: it would let the next person in with this one's session.
   */
  async signOut(): Promise<boolean> {
    const { ok } = await api.signOut();
    if (!ok) return false;
    await this.#keeping;
    const { forget } = await import('../sync/forget.ts');
    await this.#keeping;
    await forget();
    this.#first = null;
    this.me = null;
    return true;
  }
}
