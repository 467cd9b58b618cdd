import * as Y from 'yjs';
import { blankDocument } from './blank-document.ts';
import type { StoredDocument, StoredUpdate, WriteOutcome } from '../ports/document-store.ts';
import type { Timers } from '../ports/timers.ts';
import { CLOSE } from '../wire/close-codes.ts';
import type { ContentRule } from '../wire/content-rule.ts';
import {
  readFrame,
  writeDenied,
  writeSaved,
  writeStep1,
  writeStep2,
  writeUpdate,
} from '../wire/frames.ts';
import { inspectUpdate, type Inspection } from '../wire/inspect.ts';
import { ClientBirths } from './client-births.ts';
import type { Committer } from './committer.ts';
import { ReadUpdates } from './read-updates.ts';
import type { FrameLimits, RoomConnection } from './room-connection.ts';
import { SavedCount } from './saved-count.ts';
import { WriteBudget } from './write-budget.ts';

/** Unsent bytes at which a reader that cannot keep up is let go. */
const BACK_PRESSURE = 4 * 1024 * 1024;

interface Member {
  saved: SavedCount;
  /** Writes, and every other frame: questions and presence. */
  budget: WriteBudget;
  others: WriteBudget;
  /** The first step 2 has been taken: from then on a gap is a fault. */
  synced: boolean;
}

/**
 * One live document and its connections. SY-3: inspected, applied, committed, and only then shown to others and
 * acknowledged: nobody has ever seen what a crash can take back.
 */
export class Room {
  readonly id: string;
  readonly #doc = blankDocument();
  readonly #owners: Map<number, string>;
  readonly #rule: ContentRule;
  readonly #limits: FrameLimits;
  readonly #committer: Committer;
  readonly #timers: Timers;
  readonly #members = new Map<RoomConnection, Member>();
  readonly #births: ClientBirths;
  readonly #read = new ReadUpdates();
  #pending = 0;
  #failed = false;
  #frozen = false;

  constructor(
    id: string,
    stored: StoredDocument,
    rule: ContentRule,
    limits: FrameLimits,
    committer: Committer,
    timers: Timers,
  ) {
    this.id = id;
    this.#rule = rule;
    this.#limits = limits;
    this.#committer = committer;
    this.#timers = timers;
    this.#births = new ClientBirths(timers);
    this.#owners = new Map(stored.owners);
    for (const root of rule.roots.values()) {
      if (root.kind === 'map') this.#doc.getMap(root.name);
      else this.#doc.getText(root.name);
    }
    this.#read.apply(this.#doc, stored.updates);
  }

  get connections(): readonly RoomConnection[] {
    return [...this.#members.keys()];
  }

  get idle(): boolean {
    return this.#members.size === 0 && this.#pending === 0;
  }

  /** The room holds what the disk does not: it must be loaded anew. */
  get failed(): boolean {
    return this.#failed;
  }

  join(connection: RoomConnection): void {
    const budget = new WriteBudget(this.#timers);
    const others = new WriteBudget(this.#timers);
    this.#members.set(connection, { saved: new SavedCount(), budget, others, synced: false });
    connection.send(writeStep1(Y.encodeStateVector(this.#doc)));
  }

  leave(connection: RoomConnection): void {
    this.#members.delete(connection);
  }

  /** From now on nothing is written here; takes effect at once, before any waiting. */
  freeze(): void {
    this.#frozen = true;
  }

  unfreeze(): void {
    this.#frozen = false;
  }

  /** Plain values of a root map, as applied. Flush the committer first: then they are on disk too. */
  values(root: string): Map<string, unknown> {
    return new Map(this.#doc.getMap(root).entries());
  }

  /** Where to look in the store for what other processes kept. */
  get lookFrom(): number {
    return this.#read.lookFrom;
  }

  /** SY-11: takes what other processes kept, and shows it to everybody here; what is known already shows nobody anything. */
  follow(stored: StoredDocument): void {
    if (this.#failed) return;
    for (const [client, seat] of stored.owners) {
      if (!this.#owners.has(client)) this.#owners.set(client, seat);
    }
    this.take(stored.updates);
  }

  /** SY-11: the same for single updates of seats whose client ids are known here. */
  take(updates: readonly StoredUpdate[]): void {
    if (this.#failed) return;
    const news = this.#read.apply(this.#doc, updates);
    for (const update of news) this.#showAll(writeUpdate(update));
  }

  /** Keeps the stock client's watchdog quiet, which wants a frame every 30 s. */
  keepAlive(): void {
    for (const [connection, member] of this.#members) {
      connection.send(writeSaved(member.saved.saved));
    }
  }

  /** Closes every connection. */
  close(code: number, reason: string): void {
    for (const connection of this.connections) this.#drop(connection, code, reason);
  }

  receive(connection: RoomConnection, bytes: Uint8Array): void {
    const member = this.#members.get(connection);
    if (!member || this.#failed) return;
    const limit = member.synced ? this.#limits.live : this.#limits.first;
    if (bytes.length > limit) {
      connection.send(writeDenied(`too-large: a frame holds at most ${String(limit)} bytes`));
      this.#drop(connection, CLOSE.tooBig, 'too-large');
      return;
    }
    const frame = readFrame(bytes);
    const asks = frame.kind === 'awareness' || frame.kind === 'step-1';
    if (asks && !member.others.take()) {
      this.#drop(connection, CLOSE.tooFast, 'too many frames in a short time');
      return;
    }
    if (frame.kind === 'awareness') return;
    if (frame.kind === 'malformed') this.#drop(connection, CLOSE.malformed, 'not a sync frame');
    else if (frame.kind === 'step-1') this.#answer(connection, frame.stateVector);
    else this.#write(connection, member, frame.update, frame.kind === 'step-2');
  }

  /** SY-4: an answer waits until everything applied is durable. */
  #answer(connection: RoomConnection, stateVector: Uint8Array): void {
    const reply = (): void => {
      if (!this.#members.has(connection) || this.#failed) return;
      // Another edit came meanwhile, and is not on the disk yet.
      if (this.#pending > 0) return void this.#committer.flush().then(reply);
      try {
        this.#show(connection, writeStep2(Y.encodeStateAsUpdate(this.#doc, stateVector)));
      } catch {
        this.#drop(connection, CLOSE.malformed, 'not a state vector');
      }
    };
    reply();
  }

  #write(connection: RoomConnection, member: Member, update: Uint8Array, isStep2: boolean): void {
    if (!member.budget.take()) {
      this.#drop(connection, CLOSE.tooFast, 'too many edits in a short time');
      return;
    }
    const write = member.saved.receive();
    const replica = { doc: this.#doc, owners: this.#owners };
    const found = inspectUpdate(update, replica, this.#rule, connection.seat);
    const first = isStep2 && !member.synced;
    if (isStep2) member.synced = true;
    if (found.kind === 'noop') this.#acknowledge(connection, member, write, isStep2);
    else if (found.kind === 'ahead') {
      // Right after a reconnect live edits overtake the first step 2, which contains them.
      if (!member.synced) member.saved.ranAhead(write);
      else this.#refuse(connection, 'gap', 'edits before these are missing');
    } else if (found.kind === 'refuse') this.#refuse(connection, found.reason, found.detail);
    else if (this.#frozen || connection.mode !== 'write') {
      connection.send(writeDenied('frozen'));
      this.#drop(connection, CLOSE.frozen, 'the document is closed for writing');
    } else this.#accept(connection, member, write, update, found, isStep2 || first);
  }

  #accept(
    connection: RoomConnection,
    member: Member,
    write: number,
    update: Uint8Array,
    found: Extract<Inspection, { kind: 'ok' }>,
    withAhead: boolean,
  ): void {
    const { seat, device } = connection;
    if (!this.#births.take(seat, found.newClients.length, this.#owners.size)) {
      // Every reload brings a new id: somebody who reloads often waits a little, and loses nothing.
      this.#drop(connection, CLOSE.tooFast, 'too many new client ids in a minute');
      return;
    }
    try {
      Y.applyUpdate(this.#doc, update, connection);
    } catch {
      // The document may be half changed: nobody may see it again.
      this.#fail('the update could not be applied');
      return;
    }
    if (this.#doc.store.pendingStructs ?? this.#doc.store.pendingDs) {
      this.#fail('the update left something pending');
      return;
    }
    for (const client of found.newClients) this.#owners.set(client, seat);
    this.#pending++;
    const { newClients, entries } = found;
    this.#committer.add(
      { document: this.id, seat, device, bytes: update, newClients, entries },
      (outcome) => {
        this.#pending--;
        this.#settled(outcome, connection, member, write, update, withAhead);
      },
    );
  }

  #settled(
    outcome: WriteOutcome | 'failed',
    connection: RoomConnection,
    member: Member,
    write: number,
    update: Uint8Array,
    withAhead: boolean,
  ): void {
    if (this.#failed) return;
    if (outcome !== 'kept') {
      if (outcome === 'frozen' && this.#members.has(connection)) {
        connection.send(writeDenied('frozen'));
        this.#drop(connection, CLOSE.frozen, 'the document is closed for writing');
      }
      this.#fail('an update was not kept');
      return;
    }
    this.#showAll(writeUpdate(update), connection);
    this.#acknowledge(connection, member, write, withAhead);
  }

  #showAll(frame: Uint8Array, author?: RoomConnection): void {
    for (const other of this.connections) if (other !== author) this.#show(other, frame);
  }

  /** SY-9: whoever asks or reads at another pace than the panel is let go; nobody waits, and nothing piles up. */
  #show(connection: RoomConnection, frame: Uint8Array): void {
    connection.send(frame);
    if (connection.buffered() <= BACK_PRESSURE) return;
    this.#drop(connection, CLOSE.tryAgain, 'too slow to follow');
  }

  #acknowledge(
    connection: RoomConnection,
    member: Member,
    write: number,
    withAhead: boolean,
  ): void {
    const before = member.saved.saved;
    const now = member.saved.done(write, withAhead);
    if (now > before && this.#members.has(connection)) connection.send(writeSaved(now));
  }

  #refuse(connection: RoomConnection, reason: string, detail: string): void {
    connection.send(writeDenied(`${reason}: ${detail}`));
    this.#drop(connection, CLOSE.refused, reason);
  }

  #drop(connection: RoomConnection, code: number, reason: string): void {
    this.#members.delete(connection);
    connection.close(code, reason);
  }

  #fail(reason: string): void {
    this.#failed = true;
    this.close(CLOSE.tryAgain, reason);
  }
}
