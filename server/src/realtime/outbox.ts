import type { Duplex } from 'node:stream';
import type { WebSocket } from 'ws';
import { binaryFrame } from '../wire/websocket-frame.ts';

/** Boxes with something in them, to be emptied when the work at hand is done. */
const full = new Set<Outbox>();

const emptyAll = (): void => {
  for (const box of full) box.flush();
};

/** The last message and its frame: an edit goes to one device after the other. */
let last: { payload: Uint8Array; frame: Uint8Array } | undefined;

const framed = (payload: Uint8Array): Uint8Array => {
  if (last?.payload !== payload) last = { payload, frame: binaryFrame(payload) };
  return last.frame;
};

/**
 * What a document's socket is to be sent. RT-12: all that one commit brings a device goes out in one write, in order, and
 * before the socket is closed; a message that many are sent is framed once. The library's own messages, pings and
 * closes, go over the same line; nothing is compressed, so none of them waits behind.
 */
export class Outbox {
  readonly #ws: WebSocket;
  readonly #line: Duplex;
  #frames: Uint8Array[] = [];
  #bytes = 0;

  /** Around an accepted socket and the line under it. */
  constructor(ws: WebSocket, line: Duplex) {
    this.#ws = ws;
    this.#line = line;
  }

  send(payload: Uint8Array): void {
    if (this.#ws.readyState !== this.#ws.OPEN) return;
    const frame = framed(payload);
    this.#frames.push(frame);
    this.#bytes += frame.length;
    if (full.size === 0) queueMicrotask(emptyAll);
    full.add(this);
  }

  /** Writes what is in the box. */
  flush(): void {
    full.delete(this);
    const [first, ...more] = this.#frames;
    if (first === undefined) return;
    [this.#frames, this.#bytes] = [[], 0];
    if (this.#ws.readyState !== this.#ws.OPEN || !this.#line.writable) return;
    this.#line.write(more.length === 0 ? first : Buffer.concat([first, ...more]));
  }

  close(code: number, reason: string): void {
    this.flush();
    this.#ws.close(code, reason);
  }

  /** Bytes that were sent and that the network has not taken. */
  buffered(): number {
    return this.#bytes + this.#ws.bufferedAmount;
  }
}
