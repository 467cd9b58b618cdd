import type { CatalogueRow, Protocol } from '@unhindered/shared-types';
import { indexed, type Indexed } from '../comparison/search.ts';
import { catalogueEntry, type CatalogueEntry } from '../evaluation/catalogue-entry.ts';
import type { CatalogueLine, Store } from '../ports/store.ts';
import type { Logs } from './logs.ts';

/** Raised when a line is made in another way: lines of before are then made again. */
const FORMAT = 2;

type Entry = Indexed<CatalogueEntry>;

/** What lines are made from. */
export interface CatalogueSources {
  store: Store;
  logs: Logs;
  /** By `<id> <version>`. */
  protocols: ReadonlyMap<string, { protocol: Protocol }>;
  readOnly: string | null;
}

const kept = (text: string): CatalogueEntry | undefined => {
  const line = JSON.parse(text) as { format: number; entry: CatalogueEntry };
  return line.format === FORMAT ? line.entry : undefined;
};

/** Lines made before they are kept, so that a long filling is not lost when the server stops. */
const KEEP_EVERY = 200;

/**
 * All locked evaluations of the workspace, ready to be searched: in memory, made from the logs (CA-1), with a copy in
 * the store so that a start does not read every log again. A log that changed is read anew at the next question.
 */
export class Catalogue {
  readonly #entries = new Map<string, Entry>();
  readonly #stale = new Set<string>();
  #filled = false;
  #turn: Promise<void> = Promise.resolve();

  /** To be called after a log changed. */
  changed(log: string): void {
    if (log.startsWith('ev_')) this.#stale.add(log);
  }

  /** Every locked evaluation, in no order. */
  async all(app: CatalogueSources): Promise<Entry[]> {
    // One after the other: a question asked while another one reads must not be answered without what that one reads.
    const turn = this.#turn.catch(() => undefined).then(() => this.#follow(app));
    this.#turn = turn;
    await turn;
    return [...this.#entries.values()];
  }

  /** One locked evaluation. */
  async one(app: CatalogueSources, evaluation: string): Promise<CatalogueEntry | undefined> {
    await this.all(app);
    return this.#entries.get(evaluation)?.row;
  }

  async #follow(app: CatalogueSources): Promise<void> {
    if (!this.#filled) await this.#fill(app);
    this.#filled = true;
    let lines: CatalogueLine[] = [];
    for (const log of [...this.#stale]) {
      const line = await this.#read(app, log);
      if (line) lines.push(line);
      if (lines.length < KEEP_EVERY) continue;
      await keep(app, lines);
      lines = [];
    }
    await keep(app, lines);
  }

  /** Reads the store's copy, and marks what it does not hold as it now is. */
  async #fill(app: CatalogueSources): Promise<void> {
    const lines = new Map((await app.store.catalogue()).map((line) => [line.log, line]));
    for (const { log, size } of await app.store.logs()) {
      if (!log.startsWith('ev_')) continue;
      const line = lines.get(log);
      const entry = line?.size === size ? kept(line.text) : undefined;
      if (entry) this.#entries.set(log, indexed(entry));
      else this.#stale.add(log);
    }
  }

  async #read(app: CatalogueSources, log: string): Promise<CatalogueLine | undefined> {
    this.#stale.delete(log);
    try {
      const live = await app.logs.evaluation(log);
      const { id, version } = live?.state.created?.protocol ?? {};
      const used = app.protocols.get(`${id ?? ''} ${version ?? ''}`);
      const entry = live && used && catalogueEntry(live.state, used.protocol);
      if (!entry) return undefined;
      this.#entries.set(log, indexed(entry));
      return { log, size: live.size, text: JSON.stringify({ format: FORMAT, entry }) };
    } catch (error) {
      this.#stale.add(log);
      throw error;
    }
  }
}

/** Keeps lines beside the logs. A store that takes nothing any more does without. */
const keep = async (app: CatalogueSources, catalogue: readonly CatalogueLine[]): Promise<void> => {
  const writes = app.readOnly === null && app.store.fault() === null;
  if (catalogue.length > 0 && writes) await app.store.commit({ catalogue });
};

/** CA-2: what leaves with an answer: no seat, no name, no rating of anybody. */
export const rowOf = (e: CatalogueEntry): CatalogueRow => ({
  evaluation: e.evaluation,
  title: e.title,
  specimen: e.specimen,
  protocol: e.protocol,
  lockedAt: e.lockedAt,
  state: e.state,
  reevaluates: e.reevaluates,
  verdict: e.verdict,
  composite: e.composite,
  ...(e.endorsement ? { endorsement: e.endorsement } : {}),
  provisional: e.provisional,
  means: e.means,
  interval: e.interval,
  scale: e.scale,
  reviewers: e.reviewers,
  ...(e.paper ? { paper: true } : {}),
});
