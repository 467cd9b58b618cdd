import {
  BOARD_ENTRIES,
  boardKey,
  noteRoot,
  protocolTasks,
  SHEET_ROOT,
  sheetKey,
  type Protocol,
} from '../../shared-types/src/index.ts';
import * as Y from 'yjs';
import { MemoryStore } from '../../server/src/adapters/memory-store.ts';
import { Rooms, type RoomPlan } from '../../server/src/documents/rooms.ts';
import {
  BOARD_LIMITS,
  boardRule,
  SHEET_LIMITS,
  sheetRule,
} from '../../server/src/documents/rules.ts';
import type { DocumentWrite, WriteOutcome } from '../../server/src/ports/document-store.ts';
import { HandClock } from './hand-clock.ts';
import { SyncPeer } from './sync-peer.ts';

const SEATS = ['A', 'B', 'C'].map((s) => `st_${s.repeat(22)}`);
const BOARD = 'board';
const canary = (seat: string): string => `canary of ${seat}`;

/** Three reviewers with two devices each on their sheets and on the board, over rooms that come and go. */
export class SyncWorld {
  readonly #protocol: Protocol;
  readonly #random: () => number;
  readonly #store = new MemoryStore();
  readonly #clock = new HandClock();
  readonly #peers: SyncPeer[] = [];
  #rooms: Rooms;
  /** Which process is alive: a dead one commits nothing. */
  #life = 0;
  edits = 0;
  cuts = 0;
  restarts = 0;
  /** Closes that an honest device must never see. */
  readonly refusals: { code: number; reason: string }[] = [];

  constructor(protocol: Protocol, random: () => number) {
    this.#protocol = protocol;
    this.#random = random;
    this.#rooms = this.#newRooms();
  }

  async open(): Promise<void> {
    const documents = [
      ...SEATS.map((seat) => ({ id: `sheet ${seat}`, log: 'ev', kind: 'sheet' as const })),
      { id: BOARD, log: 'ev', kind: 'board' as const },
    ];
    await this.#store.commit({ documents });
    let client = 1;
    for (const seat of SEATS) {
      for (const document of [`sheet ${seat}`, `sheet ${seat}`, BOARD, BOARD]) {
        this.#peers.push(new SyncPeer(seat, document, client++));
      }
    }
    for (const peer of this.#peers) await this.#connect(peer);
  }

  /** One random thing happens. */
  async step(): Promise<void> {
    const peer = this.#pick(this.#peers);
    const dice = this.#random();
    if (dice < 0.35) this.#edit(peer);
    else if (dice < 0.6) this.#deliver(peer, 1 + Math.floor(this.#random() * 4));
    else if (dice < 0.72) await this.#advance(20 + this.#random() * 200);
    else if (dice < 0.82 && peer.connected) {
      peer.cut();
      this.cuts++;
    } else if (dice < 0.96) await this.#connect(peer);
    else if (dice < 0.98) await this.#advance(61_000);
    else await this.#restart();
    await this.#advance(40);
  }

  /** Everybody comes back and everything is delivered. */
  async settle(): Promise<void> {
    for (let round = 0; round < 40; round++) {
      for (const peer of this.#peers) await this.#connect(peer);
      for (const peer of this.#peers) this.#deliver(peer, 50);
      await this.#advance(400);
    }
    await this.#rooms.flush();
  }

  /** Documents whose replicas are not equal to each other and to the store. */
  async differences(): Promise<string[]> {
    const found: string[] = [];
    for (const document of new Set(this.#peers.map((p) => p.document))) {
      const kept = await this.#kept(document);
      for (const peer of this.#peers.filter((p) => p.document === document)) {
        if (plain(peer.doc) !== kept) found.push(`${document} at ${peer.seat}`);
        if (peer.doc.store.pendingStructs) found.push(`${document} waits at ${peer.seat}`);
        if (peer.saved < peer.sent) found.push(`${document} unsaved at ${peer.seat}`);
      }
    }
    return found;
  }

  /** Devices that received a byte of what somebody else wrote on a sheet. */
  leaks(): string[] {
    return this.#peers.flatMap((peer) =>
      SEATS.filter((seat) => seat !== peer.seat).flatMap((seat) => {
        const mark = Buffer.from(canary(seat));
        return peer.received.some((bytes) => Buffer.from(bytes).includes(mark))
          ? [`${peer.seat} got ${seat}`]
          : [];
      }),
    );
  }

  #edit(peer: SyncPeer): void {
    this.edits++;
    const task = this.#pick(protocolTasks(this.#protocol)).id;
    if (peer.document !== BOARD) {
      const map = peer.doc.getMap(SHEET_ROOT);
      peer.doc.transact(() => {
        map.set(sheetKey(task, 'answer'), Math.floor(this.#random() * 6));
        if (this.#random() < 0.3) map.set(sheetKey(task, 'note'), canary(peer.seat));
        if (this.#random() < 0.2) map.set(sheetKey(task, 'easier'), null);
      });
      return;
    }
    const text = peer.doc.getText(noteRoot('general'));
    const dice = this.#random();
    if (dice < 0.4) {
      const id = String(this.edits).padStart(22, '0');
      const entry = {
        kind: 'remark',
        task: null,
        text: `remark ${id}`,
        at: '2026-03-02T09:00:00.000Z',
        replaces: null,
      };
      peer.doc.getMap(BOARD_ENTRIES).set(boardKey(peer.seat, id), JSON.stringify(entry));
    } else if (dice < 0.8 || text.length === 0) {
      text.insert(Math.floor(this.#random() * (text.length + 1)), `w${String(this.edits)} `);
    } else {
      const at = Math.floor(this.#random() * text.length);
      text.delete(at, Math.min(3, text.length - at));
    }
  }

  #deliver(peer: SyncPeer, count: number): void {
    for (let i = 0; i < count; i++) {
      if (this.#random() < 0.5) peer.push();
      else peer.pull();
    }
    while (count > 10 && peer.toServer.length + peer.toPeer.length > 0) {
      peer.push();
      peer.pull();
    }
    this.#noteCloses(peer);
  }

  async #connect(peer: SyncPeer): Promise<void> {
    if (peer.connected && peer.room && !peer.room.failed) return;
    if (peer.connected) peer.cut();
    const room = await this.#rooms.open(peer.document, () => this.#plan(peer.document));
    if (!room) throw new Error(`no document ${peer.document}`);
    if (!peer.connected) peer.connect(room);
  }

  #plan(document: string): RoomPlan {
    return document === BOARD
      ? {
          rule: boardRule(this.#protocol, { open: () => true, fault: () => undefined }),
          limits: BOARD_LIMITS,
        }
      : { rule: sheetRule(this.#protocol), limits: SHEET_LIMITS };
  }

  /** The process dies: what was not on disk is gone, and every line with it. */
  async #restart(): Promise<void> {
    this.restarts++;
    this.#life++;
    for (const peer of this.#peers) peer.cut();
    this.#rooms = this.#newRooms();
    await Promise.resolve();
  }

  #newRooms(): Rooms {
    const life = this.#life;
    return new Rooms(this.#store, (batch) => this.#commit(batch, life), this.#clock);
  }

  async #commit(batch: readonly DocumentWrite[], life: number): Promise<WriteOutcome[]> {
    // A dead process writes nothing any more.
    if (life !== this.#life) throw new Error('the process is gone');
    const at = new Date(this.#clock.now()).toISOString();
    const committed = await this.#store.commit({ writes: batch.map((w) => ({ ...w, at })) });
    if (!committed.ok) throw new Error('conflict');
    return committed.writes;
  }

  async #advance(ms: number): Promise<void> {
    this.#clock.advance(ms);
    for (let i = 0; i < 12; i++) await Promise.resolve();
    for (const peer of this.#peers) this.#noteCloses(peer);
  }

  #noteCloses(peer: SyncPeer): void {
    for (const close of peer.closes.splice(0)) {
      if (close.code < 4500) this.refusals.push(close);
    }
  }

  async #kept(document: string): Promise<string> {
    const doc = new Y.Doc();
    for (const { bytes } of (await this.#store.load(document))?.updates ?? [])
      Y.applyUpdate(doc, bytes);
    return plain(doc);
  }

  #pick<T>(from: readonly T[]): T {
    const picked = from[Math.floor(this.#random() * from.length)];
    if (picked === undefined) throw new Error('nothing to pick from');
    return picked;
  }
}

/** A document's content as text that is equal for equal documents. */
const plain = (doc: Y.Doc): string =>
  JSON.stringify([
    Object.entries(doc.getMap(SHEET_ROOT).toJSON()).toSorted(),
    Object.entries(doc.getMap(BOARD_ENTRIES).toJSON()).toSorted(),
    doc.getText(noteRoot('general')).toJSON(),
  ]);
