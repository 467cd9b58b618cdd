import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';

/** Message types of the y-websocket protocol, and one of our own. */
const SYNC = 0;
const AWARENESS = 1;
const AUTH = 2;
const QUERY_AWARENESS = 3;
/** Durable acknowledgement: how many sync writes of this connection are on disk. Also the keep-alive. */
export const SAVED = 64;

const STEP_1 = 0;
const STEP_2 = 1;
const UPDATE = 2;
const DENIED = 0;

export type Frame =
  | { kind: 'step-1'; stateVector: Uint8Array }
  | { kind: 'step-2'; update: Uint8Array }
  | { kind: 'update'; update: Uint8Array }
  /** Presence is the server's business: awareness is never relayed and never answered. */
  | { kind: 'awareness' }
  | { kind: 'malformed' };

/** Reads one frame from a client. Never throws; anything else than one whole frame is `malformed`. */
export const readFrame = (bytes: Uint8Array): Frame => {
  try {
    const decoder = decoding.createDecoder(bytes);
    const type = decoding.readVarUint(decoder);
    if (type === AWARENESS || type === QUERY_AWARENESS) return { kind: 'awareness' };
    if (type !== SYNC) return { kind: 'malformed' };
    const step = decoding.readVarUint(decoder);
    const payload = decoding.readVarUint8Array(decoder);
    if (decoding.hasContent(decoder)) return { kind: 'malformed' };
    if (step === STEP_1) return { kind: 'step-1', stateVector: payload };
    if (step === STEP_2) return { kind: 'step-2', update: payload };
    if (step === UPDATE) return { kind: 'update', update: payload };
    return { kind: 'malformed' };
  } catch {
    return { kind: 'malformed' };
  }
};

/** Bytes that a number takes in lib0's variable length. */
const sizeOf = (n: number): number => {
  let size = 1;
  for (let rest = n; rest > 0x7f; rest = Math.floor(rest / 128)) size++;
  return size;
};

/** As lib0 writes it, without an encoder that grows: one is made for every edit. */
const sync = (step: number, payload: Uint8Array): Uint8Array => {
  const head = 2 + sizeOf(payload.length);
  const frame = Buffer.allocUnsafe(head + payload.length);
  frame[0] = SYNC;
  frame[1] = step;
  let rest = payload.length;
  for (let i = 2; i < head; i++) {
    frame[i] = i === head - 1 ? rest : 0x80 | (rest & 0x7f);
    rest = Math.floor(rest / 128);
  }
  frame.set(payload, head);
  return frame;
};

export const writeStep1 = (stateVector: Uint8Array): Uint8Array => sync(STEP_1, stateVector);
export const writeStep2 = (update: Uint8Array): Uint8Array => sync(STEP_2, update);
export const writeUpdate = (update: Uint8Array): Uint8Array => sync(UPDATE, update);

/** Tells the client that `count` of its sync writes are durable. */
export const writeSaved = (count: number): Uint8Array => {
  const encoder = encoding.createEncoder();
  encoding.writeVarUint(encoder, SAVED);
  encoding.writeVarUint(encoder, count);
  return encoding.toUint8Array(encoder);
};

/** The protocol's only refusal, with our reason. */
export const writeDenied = (reason: string): Uint8Array => {
  const encoder = encoding.createEncoder();
  encoding.writeVarUint(encoder, AUTH);
  encoding.writeVarUint(encoder, DENIED);
  encoding.writeVarString(encoder, reason);
  return encoding.toUint8Array(encoder);
};
