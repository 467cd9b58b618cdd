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

  /** Ends the session and clears what this device kept: the next person finds nothing. */
  async signOut(): Promise<void> {
    await api.signOut();
    await localStore.clear();
    this.me = null;
  }
}
