import type { CommitWrites, DocumentStore, Written } from '../ports/document-store.ts';
import type { Timers } from '../ports/timers.ts';
import { CLOSE } from '../wire/close-codes.ts';
import type { ContentRule } from '../wire/content-rule.ts';
import { Committer } from './committer.ts';
import { Following } from './following.ts';
import { Room } from './room.ts';
import type { FrameLimits } from './room-connection.ts';

/** An empty room is given up after this long, milliseconds. */
const IDLE_MS = 60_000;

/** What a room is made of that the store does not know. */
export interface RoomPlan {
  rule: ContentRule;
  limits: FrameLimits;
}

/** The live documents of this process. */
export class Rooms {
  readonly #store: DocumentStore;
  readonly #timers: Timers;
  readonly #committer: Committer;
  readonly #following: Following;
  readonly #rooms = new Map<string, Promise<Room>>();
  readonly #live = new Map<string, Room>();

  constructor(store: DocumentStore, commit: CommitWrites, timers: Timers) {
    this.#store = store;
    this.#timers = timers;
    this.#committer = new Committer(commit, timers);
    this.#following = new Following(store, {
      take: (document, updates) => this.get(document)?.take(updates),
      look: (document) => this.follow(document),
    });
  }

  /**
   * The room of a document, loaded once however many ask. Undefined when there is no such document; a store
   * that cannot read rejects, and the next call tries again: a failed load never becomes an empty document.
   */
  async open(document: string, plan: () => RoomPlan): Promise<Room | undefined> {
    const known = this.#rooms.get(document);
    if (known) {
      const room = await known;
      if (!room.failed) return room;
      if (this.#rooms.get(document) === known) this.#forget(document);
      return this.open(document, plan);
    }
    const loading = this.#load(document, plan);
    this.#rooms.set(document, loading);
    try {
      const room = await loading;
      this.#live.set(document, room);
      return room;
    } catch (error) {
      if (this.#rooms.get(document) === loading) this.#forget(document);
      if (error instanceof NoDocument) return undefined;
      throw error;
    }
  }

  /** The room if it is live; nothing is loaded. */
  get(document: string): Room | undefined {
    const room = this.#live.get(document);
    return room?.failed ? undefined : room;
  }

  /** Whether a document is live, or is being loaded. */
  has(document: string): boolean {
    return this.#rooms.has(document);
  }

  get size(): number {
    return this.#live.size;
  }

  /**
   * Reads into live rooms what other processes say they kept. One that is being loaded may have been read just before
   * that: it is looked at once it is there.
   */
  async hear(written: readonly Written[]): Promise<void> {
    const here = written.filter(({ document }) => this.#live.has(document));
    const loading = written.flatMap(({ document }) =>
      this.#live.has(document) ? [] : (this.#rooms.get(document) ?? []),
    );
    if (here.length > 0) await this.#following.hear(here);
    for (const room of await Promise.all(loading)) await this.follow(room.id);
  }

  /** Reads into a live room all that other processes kept of its document. */
  async follow(document: string): Promise<void> {
    const room = this.get(document);
    const stored = room && (await this.#store.load(document, room.lookFrom));
    if (stored) room.follow(stored);
  }

  /** Every live document. */
  get documents(): string[] {
    return [...this.#live.keys()];
  }

  /** Resolves when everything received so far is durable or refused. */
  flush(): Promise<void> {
    return this.#committer.flush();
  }

  /** Called when a connection left: an empty room is given up later, unless somebody comes back. */
  left(document: string): void {
    this.#timers.after(IDLE_MS, () => {
      const room = this.#live.get(document);
      if (room && (room.idle || room.failed)) this.#forget(document);
    });
  }

  keepAlive(): void {
    for (const room of this.#live.values()) room.keepAlive();
  }

  /** Makes durable and acknowledges what was received, closes, and makes durable what came in between. */
  async close(): Promise<void> {
    await this.flush();
    for (const room of this.#live.values()) room.close(CLOSE.goingAway, 'the server is going away');
    await this.flush();
  }

  async #load(document: string, plan: () => RoomPlan): Promise<Room> {
    const stored = await this.#store.load(document);
    if (!stored) throw new NoDocument();
    const { rule, limits } = plan();
    return new Room(document, stored, rule, limits, this.#committer, this.#timers);
  }

  #forget(document: string): void {
    this.#rooms.delete(document);
    this.#live.delete(document);
  }
}

class NoDocument extends Error {}
