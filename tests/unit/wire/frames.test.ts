import type { Writable } from 'node:stream';
import * as encoding from 'lib0/encoding';
import { expect, test } from 'vitest';
import * as ws from 'ws';
import { readFrame, writeStep2, writeUpdate } from '../../../server/src/wire/frames.ts';
import { binaryFrame } from '../../../server/src/wire/websocket-frame.ts';

/** The library exports it; its types do not. */
const { Receiver } = ws as unknown as {
  Receiver: new (options: { isServer: boolean }) => Writable;
};

/** Lengths at and around every border of the two encodings of a length. */
const LENGTHS = [
  0, 1, 125, 126, 127, 128, 129, 16_383, 16_384, 65_535, 65_536, 2_097_151, 2_097_152,
];

const payloadOf = (length: number): Uint8Array => Uint8Array.from({ length }, (_, i) => i % 251);

test('SY-3: a sync frame is byte for byte what the protocol’s own library writes, and is read back', () => {
  for (const length of LENGTHS) {
    const payload = payloadOf(length);
    for (const [step, write] of [
      [1, writeStep2],
      [2, writeUpdate],
    ] as const) {
      const encoder = encoding.createEncoder();
      encoding.writeVarUint(encoder, 0);
      encoding.writeVarUint(encoder, step);
      encoding.writeVarUint8Array(encoder, payload);
      const frame = write(payload);
      expect(Buffer.compare(frame, encoding.toUint8Array(encoder)), String(length)).toBe(0);
      const read = readFrame(frame);
      expect('update' in read && Buffer.compare(read.update, payload)).toBe(0);
    }
  }
});

test('RT-12: a WebSocket frame of any length is read whole by the library’s receiver', async () => {
  for (const length of LENGTHS) {
    const payload = payloadOf(length);
    const receiver = new Receiver({ isServer: false });
    const message = new Promise<{ data: Buffer; isBinary: boolean }>((resolve, reject) => {
      receiver.on('message', (data: Buffer, isBinary: boolean) => resolve({ data, isBinary }));
      receiver.on('error', reject);
    });
    receiver.write(Buffer.from(binaryFrame(payload)));
    const { data, isBinary } = await message;
    expect(isBinary).toBe(true);
    expect(Buffer.compare(data, payload), String(length)).toBe(0);
  }
});
