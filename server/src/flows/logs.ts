import type { Store } from '../ports/store.ts';
import { openCheckpointBy, type TrustedKeys } from '../audit/key-chain.ts';
import {
  evaluationLog,
  LiveLog,
  panelLog,
  registerLog,
  systemLog,
  workshopLog,
  type AnyLive,
  type LiveEvaluation,
  type LivePanel,
  type LiveRegister,
  type LiveSystem,
  type LiveWorkshop,
} from './live-log.ts';

const isPanel = (id: string): boolean => id.startsWith('pn_');
const isRegister = (id: string): boolean => id.startsWith('rg_');
const isWorkshop = (id: string): boolean => id.startsWith('pt_');
const isSystem = (id: string): boolean => id.startsWith('sy_');

/** The logs of this process, loaded when asked for, and one change at a time for each. */
export class Logs {
  readonly #store: Store;
  readonly #keys: TrustedKeys;
  readonly #shared: boolean;
  readonly #faulty: ReadonlySet<string>;
  readonly #evaluations = new Map<string, Promise<LiveEvaluation>>();
  readonly #panels = new Map<string, Promise<LivePanel>>();
  readonly #systems = new Map<string, Promise<LiveSystem>>();
  readonly #registers = new Map<string, Promise<LiveRegister>>();
  readonly #workshops = new Map<string, Promise<LiveWorkshop>>();
  readonly #before: (firstEvent: string) => Promise<void>;
  readonly #tails = new Map<string, Promise<unknown>>();
  /** Looks since an evaluation was last asked for. */
  readonly #idle = new Map<string, number>();

  /**
   * `shared`: other processes add to the logs too. `faulty` logs do not match their signatures and are not read:
   * what they say cannot be believed. `before` hears the first event of an evaluation before it shows.
   */
  constructor(
    store: Store,
    keys: TrustedKeys,
    faulty: ReadonlySet<string> = new Set(),
    shared = false,
    before: (firstEvent: string) => Promise<void> = () => Promise.resolve(),
  ) {
    this.#before = before;
    this.#faulty = faulty;
    this.#shared = shared;
    this.#store = store;
    this.#keys = keys;
  }

  /** An evaluation's log; undefined when it has no event or cannot be believed. */
  async evaluation(id: string): Promise<LiveEvaluation | undefined> {
    if (this.#faulty.has(id)) return undefined;
    this.#idle.set(id, 0);
    const live = await this.#loaded(this.#evaluations, id, () => new LiveLog(id, evaluationLog));
    return live.size > 0 ? live : undefined;
  }

  async panel(id: string): Promise<LivePanel | undefined> {
    if (this.#faulty.has(id)) return undefined;
    const live = await this.#loaded(this.#panels, id, () => new LiveLog(id, panelLog));
    return live.size > 0 ? live : undefined;
  }

  /** The log of what happens to the server; it may be about to get its first event. */
  async system(id: string): Promise<LiveSystem> {
    return this.#loaded(this.#systems, id, () => new LiveLog(id, systemLog));
  }

  /** The register of specimens as the store has it now; it may be about to get its first event. */
  async register(id: string): Promise<LiveRegister> {
    const live = await this.#loaded(this.#registers, id, () => new LiveLog(id, registerLog));
    if (this.#shared) await this.follow(live);
    return live;
  }

  /** The log of the workspace's protocols as the store has it now; it may be about to get its first event. */
  async workshop(id: string): Promise<LiveWorkshop> {
    const live = await this.#loaded(this.#workshops, id, () => new LiveLog(id, workshopLog));
    if (this.#shared) await this.follow(live);
    return live;
  }

  /** Whether a log does not match its signatures and is not read. */
  isFaulty(id: string): boolean {
    return this.#faulty.has(id);
  }

  /**
   * LG-1: the log as the store has it now. Asked where somebody comes in who may have been told of it by another
   * process: what they were told must be known here too.
   */
  async evaluationNow(id: string): Promise<LiveEvaluation | undefined> {
    const live = await this.evaluation(id);
    if (live && this.#shared) await this.follow(live);
    return live;
  }

  async panelNow(id: string): Promise<LivePanel | undefined> {
    const live = await this.panel(id);
    if (live && this.#shared) await this.follow(live);
    return live;
  }

  /** A log that may be about to get its first event. */
  async any(id: string): Promise<AnyLive> {
    if (isSystem(id)) return this.system(id);
    if (isRegister(id)) return this.register(id);
    if (isWorkshop(id)) return this.workshop(id);
    if (!isPanel(id)) this.#idle.set(id, 0);
    return isPanel(id)
      ? this.#loaded(this.#panels, id, () => new LiveLog(id, panelLog))
      : this.#loaded(this.#evaluations, id, () => new LiveLog(id, evaluationLog));
  }

  /**
   * LG-3: counts one look, and lets evaluations go that were not asked for in the last `looks` of them, that a checkpoint
   * covers, that no change runs on and that `inUse` does not need. Returns how many went.
   */
  async letGo(looks: number, inUse: (id: string) => boolean): Promise<number> {
    let gone = 0;
    for (const [id, loading] of this.#evaluations) {
      const idle = (this.#idle.get(id) ?? 0) + 1;
      this.#idle.set(id, idle);
      if (idle < looks || this.#tails.has(id)) continue;
      const live = await loading;
      const asked = this.#idle.get(id) !== idle || this.#tails.has(id);
      if (asked || live.covered < live.size || inUse(id)) continue;
      this.#evaluations.delete(id);
      this.#idle.delete(id);
      gone++;
    }
    return gone;
  }

  /** Logs in memory. */
  async live(): Promise<AnyLive[]> {
    return Promise.all([
      ...this.#evaluations.values(),
      ...this.#panels.values(),
      ...this.#systems.values(),
      ...this.#registers.values(),
      ...this.#workshops.values(),
    ]);
  }

  /** Loads the logs whose end no checkpoint covers: the process before this one did not get to it. */
  async wakeUncovered(): Promise<void> {
    for (const { log, size } of await this.#store.logs()) {
      const newest = (await this.#store.checkpoints(log)).at(-1);
      const opened = newest === undefined ? undefined : openCheckpointBy(newest, this.#keys);
      const covered = opened?.ok ? opened.checkpoint.size : 0;
      if (covered < size && !this.#faulty.has(log)) await this.any(log);
    }
  }

  /** Runs `work` while no other change runs on these logs. Asked for in one order, so nobody waits for ever. */
  async exclusive<T>(ids: readonly string[], work: () => Promise<T>): Promise<T> {
    const [id, ...rest] = [...new Set(ids)].toSorted();
    if (id === undefined) return work();
    const before = this.#tails.get(id) ?? Promise.resolve();
    const run = before.then(() => this.exclusive(rest, work));
    const tail = run.catch(() => undefined);
    this.#tails.set(id, tail);
    try {
      return await run;
    } finally {
      if (this.#tails.get(id) === tail) this.#tails.delete(id);
    }
  }

  /** A log in memory; nothing is loaded. */
  async known(id: string): Promise<LiveEvaluation | LivePanel | undefined> {
    return this.#evaluations.get(id) ?? this.#panels.get(id);
  }

  /** Reads what other processes added to a log: events and the newest checkpoint. */
  async follow(live: AnyLive): Promise<void> {
    const newest = (await this.#store.checkpoints(live.id, live.covered)).at(-1);
    await this.refresh(live);
    this.#cover(live, newest);
  }

  /** Reads what the store has beyond what is in memory. */
  async refresh(live: AnyLive): Promise<void> {
    const from = live.size;
    const texts = await this.#store.events(live.id, from);
    const [first] = texts;
    if (from === 0 && first !== undefined && live.id.startsWith('ev_')) await this.#before(first);
    await live.takeInTurns(texts, from);
  }

  #cover(live: AnyLive, note: string | undefined): void {
    const opened = note === undefined ? undefined : openCheckpointBy(note, this.#keys);
    if (opened?.ok && note !== undefined) live.cover(opened.checkpoint.size, note);
  }

  #loaded<T extends AnyLive>(
    cache: Map<string, Promise<T>>,
    id: string,
    make: () => T,
  ): Promise<T> {
    const known = cache.get(id);
    if (known) return known;
    const loading = (async () => {
      const live = make();
      await this.follow(live);
      return live;
    })();
    cache.set(id, loading);
    loading.catch(() => cache.delete(id));
    return loading;
  }
}
