import * as decoding from 'lib0/decoding';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import { SAVED_FRAME, SHEET_ROOT } from '../../shared-types/src/index.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { syncFrame } from './payload.ts';

/** A document socket without a client behind it: frames go out as they are given. */
export interface DocumentDoor {
  send: (frame: Uint8Array | string) => void;
  received: Uint8Array[];
  /** Sync writes that the server has acknowledged as durable. */
  saved: () => number;
  closed: Promise<{ code: number; reason: string }>;
  code: () => number | undefined;
  /** Resolves when `count` writes are saved or the socket is closed. */
  settled: (count: number) => Promise<void>;
  /** Resolves when the server has answered a step 1 or closed: everything before has been read. */
  read: () => Promise<void>;
  close: () => void;
  socket: WebSocket;
}

export const ticketFor = async (
  client: SeatClient,
  evaluation: string,
  document: string,
): Promise<string> => {
  const ask = { evaluation, document };
  const { body } = await SeatClient.post(client.url, '/tickets', ask, client.cookie);
  return String(body['ticket']);
};

/** Opens a document as a seat does, and waits for the server's step 1. */
export const openDoor = async (
  client: SeatClient,
  evaluation: string,
  document: string,
): Promise<DocumentDoor> => {
  const ticket = await ticketFor(client, evaluation, document);
  const address = `${client.url.replace('http', 'ws')}/sync/${document}?ticket=${ticket}`;
  const socket = new WebSocket(address, {
    headers: { cookie: client.cookie },
    perMessageDeflate: false,
  });
  const received: Uint8Array[] = [];
  let saved = 0;
  let code: number | undefined;
  let wake: (() => void)[] = [];
  const woken = (): Promise<void> => new Promise((resolve) => wake.push(resolve));
  const ring = (): void => {
    for (const call of wake.splice(0)) call();
    wake = [];
  };
  socket.on('error', () => undefined);
  const closed = new Promise<{ code: number; reason: string }>((resolve) => {
    socket.once('close', (number, reason) => {
      code = number;
      resolve({ code: number, reason: reason.toString() });
      ring();
    });
  });
  const opened = new Promise<void>((resolve) => {
    socket.on('message', (data: Buffer) => {
      const bytes = new Uint8Array(data);
      received.push(bytes);
      const decoder = decoding.createDecoder(bytes);
      if (decoding.readVarUint(decoder) === SAVED_FRAME) saved = decoding.readVarUint(decoder);
      resolve();
      ring();
    });
  });
  await Promise.race([opened, closed]);
  return {
    socket,
    send: (frame) => {
      if (socket.readyState === socket.OPEN) socket.send(frame);
    },
    received,
    saved: () => saved,
    closed,
    code: () => code,
    settled: async (count) => {
      while (saved < count && code === undefined) await woken();
    },
    read: async () => {
      const step2 = (): number => received.filter((f) => f[0] === 0 && f[1] === 1).length;
      const before = step2();
      if (socket.readyState === socket.OPEN) socket.send(syncFrame(0, Uint8Array.of(0)));
      while (step2() === before && code === undefined) await woken();
    },
    close: () => socket.close(),
  };
};

/** The empty first reply to the server's step 1: from here on frames are live edits. */
export const EMPTY_STEP_2 = syncFrame(1, Uint8Array.of(0, 0));

/**
 * One device of a seat with one Yjs client id for the whole run (a room takes only a few new ids a minute): writes one
 * sheet, field by field, and keeps locally only what was saved.
 */
export class SheetWriter {
  readonly #client: SeatClient;
  readonly #evaluation: string;
  readonly #document: string;
  readonly #id: number;
  #kept: Uint8Array;

  constructor(client: SeatClient, evaluation: string, document: string, id: number) {
    this.#client = client;
    this.#evaluation = evaluation;
    this.#document = document;
    this.#id = id;
    this.#kept = Y.encodeStateAsUpdate(new Y.Doc());
  }

  /** The update that sets fields, built on what is kept. */
  update(fields: Record<string, unknown>): Uint8Array {
    const doc = new Y.Doc();
    Y.applyUpdate(doc, this.#kept);
    doc.clientID = this.#id;
    const before = Y.encodeStateVector(doc);
    const map = doc.getMap(SHEET_ROOT);
    doc.transact(() => {
      for (const [key, value] of Object.entries(fields)) map.set(key, value);
    });
    return Y.encodeStateAsUpdate(doc, before);
  }

  /** Writes fields and says what the server made of them: saved, or the code it closed with. */
  async write(fields: Record<string, unknown>): Promise<'saved' | number> {
    return this.send(this.update(fields));
  }

  async send(update: Uint8Array): Promise<'saved' | number> {
    const door = await openDoor(this.#client, this.#evaluation, this.#document);
    door.send(EMPTY_STEP_2);
    await door.settled(1);
    door.send(syncFrame(2, update));
    await door.settled(2);
    const code = door.code();
    door.close();
    if (code !== undefined) return code;
    const doc = new Y.Doc();
    Y.applyUpdate(doc, this.#kept);
    Y.applyUpdate(doc, update);
    this.#kept = Y.encodeStateAsUpdate(doc);
    return 'saved';
  }
}
