import { PassThrough } from 'node:stream';
import { expect, test } from 'vitest';
import type { WebSocket } from 'ws';
import { Outbox } from '../../../server/src/realtime/outbox.ts';
import { binaryFrame } from '../../../server/src/wire/websocket-frame.ts';

/** A socket that is open until it is closed, and a line that notes each write. */
const socket = () => {
  const line = new PassThrough();
  const writes: Buffer[] = [];
  const done: string[] = [];
  line.on('data', (chunk: Buffer) => {
    writes.push(chunk);
    done.push('write');
  });
  const ws = {
    OPEN: 1,
    readyState: 1,
    bufferedAmount: 0,
    close: (code: number) => {
      ws.readyState = 2;
      done.push(`close ${String(code)}`);
    },
  };
  return { ws, writes, done, box: new Outbox(ws as unknown as WebSocket, line) };
};
const bytes = (...values: number[]): Uint8Array => Uint8Array.from(values);
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

test('RT-12: what is sent in one piece of work goes out in one write, in order', async () => {
  const { box, writes } = socket();
  const edit = bytes(1, 2, 3);
  box.send(edit);
  box.send(bytes(64, 1));
  expect(box.buffered()).toBe(9);
  expect(writes).toEqual([]);
  await turn();
  expect(writes).toEqual([Buffer.concat([binaryFrame(edit), binaryFrame(bytes(64, 1))])]);
  expect(box.buffered()).toBe(0);
});

test('RT-12: what was sent before a close is written before it, and nothing after it', async () => {
  const { box, writes, done } = socket();
  box.send(bytes(2, 0, 0));
  box.close(4403, 'refused');
  box.send(bytes(9));
  await turn();
  expect(done).toEqual(['write', 'close 4403']);
  expect(writes).toEqual([binaryFrame(bytes(2, 0, 0))]);
});

test('RT-12: the same message to many is the same bytes to each', async () => {
  const sockets = [socket(), socket(), socket()];
  const edit = bytes(0, 2, 5);
  for (const { box } of sockets) box.send(edit);
  await turn();
  for (const { writes } of sockets) expect(writes).toEqual([binaryFrame(edit)]);
});
