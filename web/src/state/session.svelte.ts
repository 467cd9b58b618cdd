import type { MeAnswer } from '@unhindered/shared-types';
import { api } from '../sync/api.ts';

const KEY = 'me';

/** What this device keeps; whoever joins does not wait for its code. */
const kept = async () => (await import('../sync/local-store.ts')).localStore;

/** Who this browser is signed in as. Without a network the last answer stands. */
export class Session {
  me = $state.raw<MeAnswer | null>(null);
  offline = $state(false);
  #keeping: Promise<void> = Promise.resolve();

  async load(): Promise<void> {
    const answer = await api.me();
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
    this.me = null;
    return true;
  }
}
