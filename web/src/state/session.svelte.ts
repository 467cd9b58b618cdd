import type { MeAnswer } from '@unhindered/shared-types';
import { api } from '../sync/api.ts';
import { localStore } from '../sync/local-store.ts';

const KEY = 'me';

/** Who this browser is signed in as. Without a network the last answer stands. */
export class Session {
  me = $state.raw<MeAnswer | null>(null);
  offline = $state(false);

  async load(): Promise<void> {
    const answer = await api.me();
    if (answer.ok) {
      this.me = answer.value;
      this.offline = false;
      await localStore.set(KEY, answer.value);
    } else {
      this.me = (await localStore.get<MeAnswer>(KEY)) ?? null;
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
    const { forget } = await import('../sync/forget.ts');
    await forget();
    this.me = null;
    return true;
  }
}
