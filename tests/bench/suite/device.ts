import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import { SHEET_ROOT } from '../../../shared-types/src/index.ts';
import type { Wire } from './contestants.ts';

/** Where a device connects, and as whom. */
export interface Address {
  wire: Wire;
  /** `http://…` of the server. */
  url: string;
  /** Name of the document. */
  room: string;
  /** Our server's only: the session's cookie, and the evaluation that the ticket is asked for. */
  cookie?: string;
  evaluation?: string;
  /** Yjs client id to write under; a new one by default. */
  client?: number | undefined;
}

const SYNC = 0;
const [STEP_1, STEP_2, UPDATE] = [0, 1, 2];
const SAVED = 64;

/** An edit somewhere, known again by the Yjs client that made it and its clock. */
export interface Seen {
  client: number;
  clock: number;
}

/** Reads whose edit an update of a single one is, without taking it apart further; undefined for any other. */
const seenIn = (update: Uint8Array): Seen | undefined => {
  if (update[0] !== 1 || update[1] !== 1) return undefined;
  const decoder = decoding.createDecoder(update);
  decoder.pos = 2;
  const client = decoding.readVarUint(decoder);
  return { client, clock: decoding.readVarUint(decoder) };
};

/** Asks our server for a ticket of a document. */
const ticketFor = async (address: Address, tries = 3): Promise<string> => {
  const { url, cookie = '', evaluation, room } = address;
  let response: Response;
  try {
    response = await fetch(`${url}/api/tickets`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie },
      body: JSON.stringify({ evaluation, document: room }),
    });
  } catch (error) {
    // A balancer may close an idle connection in the moment in which it is used again.
    if (tries === 1) throw error;
    return ticketFor(address, tries - 1);
  }
  if (!response.ok) throw new Error(`no ticket: ${String(response.status)}`);
  return ((await response.json()) as { ticket: string }).ticket;
};

/**
 * A device on the documents' socket: it makes edits ahead of time, sends them when told, and keeps what it is sent as
 * bytes, so that the machine is left to the server. `settle` works everything in.
 */
export class Device {
  readonly doc = new Y.Doc();
  readonly address: Address;
  /** An edit of another device arrived. */
  onSeen: (seen: Seen) => void = () => undefined;
  /** So many sync writes of this connection are on the server's disk. */
  onSaved: (count: number) => void = () => undefined;
  /** Sync writes sent on this connection. */
  sent = 0;
  saved = 0;
  /** Close code, when the server closed. */
  closed: number | null = null;
  #ticket: string | undefined;
  #ws: WebSocket | undefined;
  /** Updates of the edits that were made ahead, and the next of them. */
  readonly #edits: Uint8Array[] = [];
  #next = 0;
  /** Clock of the next edit. */
  #clock = 0;
  /** Every update that was received or sent. */
  readonly #known: Uint8Array[] = [];
  #synced: () => void = () => undefined;

  constructor(address: Address) {
    this.address = address;
  }

  /** Gets the ticket that the next `open` will use; nothing to do elsewhere. */
  async prepare(): Promise<void> {
    if (this.address.wire === 'ours') this.#ticket = await ticketFor(this.address);
  }

  /** Connects; resolves when the server's state is here. `from` is a loopback address to come from. */
  async open(from = '127.0.0.1'): Promise<void> {
    if (this.#ticket === undefined) await this.prepare();
    const { wire, url, room, cookie = '' } = this.address;
    const base = url.replace(/^http/u, 'ws');
    const at =
      wire === 'ours' ? `${base}/sync/${room}?ticket=${this.#ticket ?? ''}` : `${base}/${room}`;
    this.#ticket = undefined;
    const headers = wire === 'ours' ? { cookie } : {};
    const ws = new WebSocket(at, { headers, perMessageDeflate: false, localAddress: from });
    this.#ws = ws;
    [this.sent, this.saved, this.closed] = [0, 0, null];
    await new Promise<void>((resolve, reject) => {
      this.#synced = resolve;
      ws.on('open', () => this.#greet());
      ws.on('message', (data: Buffer) => this.#receive(data));
      ws.on('error', reject);
      ws.on('close', (code) => {
        this.closed = code;
        reject(new Error(`closed with ${String(code)}`));
      });
    });
  }

  /** Makes edits ahead of time until `count` are left to send, each one key in turn set to another value. */
  make(keys: readonly string[], count: number): void {
    const map = this.doc.getMap(SHEET_ROOT);
    const hear = (update: Uint8Array): void => void this.#edits.push(update);
    this.doc.on('update', hear);
    for (let i = this.left; i < count; i++) {
      const n = this.#clock + i;
      map.set(keys[n % keys.length] ?? '', (n + (n >> 3)) % 6);
    }
    this.doc.off('update', hear);
  }

  /** Sends the next edit; undefined when all that were made are sent. */
  edit(): Seen | undefined {
    const update = this.#edits[this.#next];
    if (!update) return undefined;
    this.sent++;
    this.#next++;
    this.#ws?.send(this.#frame(UPDATE, update));
    this.#known.push(update);
    return { client: this.doc.clientID, clock: this.#clock++ };
  }

  /** Edits that were made and not sent. */
  get left(): number {
    return this.#edits.length - this.#next;
  }

  /** The document as this device knows it: what it received and what it sent. */
  settle(): Record<string, unknown> {
    const doc = new Y.Doc();
    for (const update of this.#known) Y.applyUpdate(doc, update);
    const values = doc.getMap(SHEET_ROOT).toJSON();
    doc.destroy();
    return values;
  }

  close(): void {
    this.#ws?.removeAllListeners('close');
    this.#ws?.on('error', () => undefined);
    this.#ws?.terminate();
    this.doc.destroy();
  }

  #encoder(): encoding.Encoder {
    const encoder = encoding.createEncoder();
    if (this.address.wire === 'hocuspocus') encoding.writeVarString(encoder, this.address.room);
    return encoder;
  }

  #frame(step: number, payload: Uint8Array): Uint8Array {
    const encoder = this.#encoder();
    encoding.writeVarUint(encoder, SYNC);
    encoding.writeVarUint(encoder, step);
    encoding.writeVarUint8Array(encoder, payload);
    return encoding.toUint8Array(encoder);
  }

  #greet(): void {
    if (this.address.wire === 'hocuspocus') {
      const encoder = this.#encoder();
      encoding.writeVarUint(encoder, 2);
      encoding.writeVarUint(encoder, 0);
      encoding.writeVarString(encoder, 'anybody');
      this.#ws?.send(encoding.toUint8Array(encoder));
    }
    this.#ws?.send(this.#frame(STEP_1, Y.encodeStateVector(this.doc)));
  }

  #receive(data: Buffer): void {
    const decoder = decoding.createDecoder(data);
    if (this.address.wire === 'hocuspocus') decoding.readVarString(decoder);
    const type = decoding.readVarUint(decoder);
    if (type === SAVED) {
      this.saved = decoding.readVarUint(decoder);
      this.onSaved(this.saved);
    }
    // 4 is Hocuspocus's answer to a first question, in the same form.
    if (type !== SYNC && type !== 4) return;
    const step = decoding.readVarUint(decoder);
    const payload = decoding.readVarUint8Array(decoder);
    if (step === STEP_1) {
      this.sent++;
      this.#ws?.send(this.#frame(STEP_2, Y.encodeStateAsUpdate(this.doc, payload)));
    } else if (step === STEP_2) {
      Y.applyUpdate(this.doc, payload);
      // Yjs takes another one when it hears of its own from elsewhere: here that is this device before it connected.
      this.doc.clientID = this.address.client ?? this.doc.clientID;
      this.#known.push(payload);
      if (this.#edits.length === 0) this.#clock = Y.getState(this.doc.store, this.doc.clientID);
      this.#synced();
    } else {
      this.#known.push(payload);
      const seen = seenIn(payload);
      if (seen) this.onSeen(seen);
    }
  }
}
