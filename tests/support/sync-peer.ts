import { isSyncWrite, SAVED_FRAME } from '../../shared-types/src/index.ts';
import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import * as syncProtocol from 'y-protocols/sync';
import * as Y from 'yjs';
import type { Room } from '../../server/src/documents/room.ts';
import type { RoomConnection } from '../../server/src/documents/room-connection.ts';

/**
 * A device without a socket that speaks as the stock client does: it sends live edits before it has answered the
 * server's step 1. Frames wait in two queues and are delivered by hand.
 */
export class SyncPeer {
  readonly seat: string;
  readonly document: string;
  readonly doc = new Y.Doc();
  /** Every byte that reached this device. */
  readonly received: Uint8Array[] = [];
  readonly closes: { code: number; reason: string }[] = [];
  toServer: Uint8Array[] = [];
  toPeer: Uint8Array[] = [];
  room: Room | undefined;
  /** Sync writes sent on this connection, and how many of them the server says are on disk. */
  sent = 0;
  saved = 0;
  #connection: RoomConnection | undefined;

  constructor(seat: string, document: string, client: number) {
    this.seat = seat;
    this.document = document;
    this.doc.clientID = client;
    this.doc.on('update', (update: Uint8Array, origin: unknown) => {
      if (origin === this || !this.#connection) return;
      this.#send((e) => syncProtocol.writeUpdate(e, update));
    });
  }

  get connected(): boolean {
    return this.#connection !== undefined;
  }

  connect(room: Room): void {
    this.room = room;
    this.sent = 0;
    this.saved = 0;
    const connection: RoomConnection = {
      seat: this.seat,
      device: `${this.seat}-${String(this.doc.clientID)}`,
      mode: 'write',
      send: (bytes) => {
        if (this.#connection === connection) this.toPeer.push(bytes);
      },
      close: (code, reason) => {
        if (this.#connection !== connection) return;
        this.closes.push({ code, reason });
        this.cut();
      },
      buffered: () => 0,
    };
    this.#connection = connection;
    room.join(connection);
    this.#send((e) => syncProtocol.writeSyncStep1(e, this.doc));
  }

  /** The line breaks: what was on its way is gone. */
  cut(): void {
    const connection = this.#connection;
    this.#connection = undefined;
    this.toServer = [];
    this.toPeer = [];
    if (connection) this.room?.leave(connection);
  }

  /** Delivers one frame to the server. */
  push(): void {
    const frame = this.toServer.shift();
    if (frame && this.#connection) this.room?.receive(this.#connection, frame);
  }

  /** Delivers one frame from the server. */
  pull(): void {
    const frame = this.toPeer.shift();
    if (!frame) return;
    this.received.push(frame);
    const decoder = decoding.createDecoder(frame);
    const type = decoding.readVarUint(decoder);
    if (type === SAVED_FRAME) this.saved = decoding.readVarUint(decoder);
    if (type !== 0) return;
    const reply = encoding.createEncoder();
    encoding.writeVarUint(reply, 0);
    syncProtocol.readSyncMessage(decoder, reply, this.doc, this);
    if (encoding.length(reply) > 1) this.#out(encoding.toUint8Array(reply));
  }

  #send(write: (encoder: encoding.Encoder) => void): void {
    const encoder = encoding.createEncoder();
    encoding.writeVarUint(encoder, 0);
    write(encoder);
    this.#out(encoding.toUint8Array(encoder));
  }

  #out(frame: Uint8Array): void {
    if (isSyncWrite(frame)) this.sent++;
    this.toServer.push(frame);
  }
}
