import type { PanelLink } from '../evaluation/panel-state.ts';
import type { Store } from '../ports/store.ts';
import type { Logs } from './logs.ts';
import { secretHash } from './secrets.ts';

/** Public links by the hash of their secret, read from the panels' logs; a panel that changed is read again. */
export class PublicLinks {
  readonly #byHash = new Map<string, { panel: string; link: string }>();
  readonly #stale = new Set<string>();
  #known = false;

  /** To be called after a log changed. */
  changed(log: string): void {
    if (log.startsWith('pn_')) this.#stale.add(log);
  }

  /** The link that a secret opens, ended ones included, with its panel; undefined when there never was one. */
  async find(
    app: { store: Store; logs: Logs },
    secret: string,
  ): Promise<{ panel: string; link: PanelLink } | undefined> {
    if (!this.#known) {
      for (const { log } of await app.store.logs()) this.changed(log);
      this.#known = true;
    }
    for (const panel of [...this.#stale]) {
      const live = await app.logs.panel(panel);
      this.#stale.delete(panel);
      for (const { secretHash: hash, link } of live?.state.links.values() ?? []) {
        this.#byHash.set(hash, { panel, link });
      }
    }
    const hit = this.#byHash.get(secretHash(secret));
    const link = hit && (await app.logs.panelNow(hit.panel))?.state.links.get(hit.link);
    return hit && link && { panel: hit.panel, link };
  }
}
