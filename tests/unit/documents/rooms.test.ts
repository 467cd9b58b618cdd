import { expect, test } from 'vitest';
import { SHEET_ROOT, sheetKey } from '../../../shared-types/src/index.ts';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { Committer } from '../../../server/src/documents/committer.ts';
import type { RoomConnection } from '../../../server/src/documents/room-connection.ts';
import { Rooms } from '../../../server/src/documents/rooms.ts';
import { SHEET_LIMITS, sheetRule } from '../../../server/src/documents/rules.ts';
import type { DocumentWrite, WriteOutcome } from '../../../server/src/ports/document-store.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { HandClock } from '../../support/hand-clock.ts';
import { SyncPeer } from '../../support/sync-peer.ts';

const checked = checkProtocol(JSON.stringify(defaultProtocol));
if (!checked.ok) throw new Error('the shipped protocol is faulty');
const plan = { rule: sheetRule(checked.protocol), limits: SHEET_LIMITS };
const ME = `st_${'A'.repeat(22)}`;
const KEY = sheetKey('fit-retention', 'answer');

const write = (document: string): DocumentWrite => ({
  document,
  seat: ME,
  device: 'd',
  bytes: new Uint8Array(),
  newClients: [],
  entries: [],
});
const settleDown = async (): Promise<void> => {
  for (let i = 0; i < 20; i++) await Promise.resolve();
};

test('SY-2: what arrives within the window is one commit, settled in the order of arrival', async () => {
  const clock = new HandClock();
  const batches: number[] = [];
  const committer = new Committer(async (batch) => {
    batches.push(batch.length);
    return batch.map(() => 'kept');
  }, clock);
  const settled: string[] = [];
  for (const id of ['a', 'b', 'c']) committer.add(write(id), (o) => settled.push(`${id} ${o}`));
  expect(batches).toEqual([]);
  clock.advance(4);
  await settleDown();
  expect(batches).toEqual([3]);
  expect(settled).toEqual(['a kept', 'b kept', 'c kept']);
});

test('SY-2: a commit that fails is told to every write in it, and the next ones go on', async () => {
  const clock = new HandClock();
  let fail = true;
  const committer = new Committer(async (batch) => {
    if (fail) throw new Error('the disk is full');
    return batch.map(() => 'kept');
  }, clock);
  const settled: string[] = [];
  committer.add(write('a'), (o) => settled.push(o));
  await committer.flush();
  fail = false;
  committer.add(write('b'), (o) => settled.push(o));
  await committer.flush();
  expect(settled).toEqual(['failed', 'kept']);
});

test('SY-12: a flush waits for what was queued before it, and not for a server that never falls quiet', async () => {
  const clock = new HandClock();
  const committed: string[] = [];
  let after = 0;
  const committer: Committer = new Committer(async (batch) => {
    committed.push(...batch.map((b) => b.document));
    // As on a busy server: while one commit runs, the next write comes.
    if (after < 1000) committer.add(write(`after ${String(after++)}`), () => undefined);
    return batch.map(() => 'kept');
  }, clock);
  committer.add(write('before'), () => undefined);
  await committer.flush();
  expect(committed[0]).toBe('before');
  expect(after).toBeLessThan(5);
});

test('SY-12: a busy server gathers longer than a quiet one', async () => {
  const clock = new HandClock();
  const batches: number[] = [];
  const committer = new Committer(async (batch) => {
    batches.push(batch.length);
    return batch.map(() => 'kept');
  }, clock);
  const add = (count: number): void => {
    for (let i = 0; i < count; i++) committer.add(write('d'), () => undefined);
  };
  add(5);
  clock.advance(3);
  await settleDown();
  expect(batches).toEqual([5]);
  add(1);
  clock.advance(7);
  await settleDown();
  expect(batches).toEqual([5]);
  clock.advance(1);
  await settleDown();
  expect(batches).toEqual([5, 1]);
  add(1);
  clock.advance(3);
  await settleDown();
  expect(batches).toEqual([5, 1, 1]);
});

test('SY-12: what comes during a long commit has gathered meanwhile, and waits only for the rest of its time', async () => {
  const clock = new HandClock();
  const batches: number[] = [];
  const ends: (() => void)[] = [];
  const committer = new Committer((batch) => {
    batches.push(batch.length);
    return new Promise((resolve) => ends.push(() => resolve(batch.map(() => 'kept'))));
  }, clock);
  const add = (count: number): void => {
    for (let i = 0; i < count; i++) committer.add(write('d'), () => undefined);
  };
  add(5);
  clock.advance(3);
  add(2);
  clock.advance(6);
  // The first commit took six milliseconds of the eight that a busy server gathers.
  ends.shift()?.();
  await settleDown();
  expect(batches).toEqual([5]);
  clock.advance(2);
  await settleDown();
  expect(batches).toEqual([5, 2]);
  add(1);
  clock.advance(20);
  ends.shift()?.();
  await settleDown();
  expect(batches).toEqual([5, 2, 1]);
});

/** A room whose commits wait until they are let go. */
const heldRoom = async () => {
  const clock = new HandClock();
  const store = new MemoryStore();
  await store.commit({ documents: [{ id: 'doc', log: 'ev', kind: 'sheet' }] });
  const waiting: ((outcome: WriteOutcome | Error) => void)[] = [];
  const commit = (batch: readonly DocumentWrite[]): Promise<WriteOutcome[]> =>
    new Promise((resolve, reject) => {
      waiting.push((outcome) => {
        if (outcome instanceof Error) reject(outcome);
        else resolve(batch.map(() => outcome));
      });
    });
  const rooms = new Rooms(store, commit, clock);
  const room = await rooms.open('doc', () => plan);
  if (!room) throw new Error('there is no room');
  const peer = (client: number): SyncPeer => {
    const p = new SyncPeer(ME, 'doc', client);
    p.connect(room);
    return p;
  };
  const deliver = (p: SyncPeer): void => {
    for (let i = 0; i < 10; i++) {
      p.push();
      p.pull();
    }
  };
  return { clock, rooms, room, waiting, peer, deliver };
};

test('SY-3 SY-4: nobody sees an edit, and nobody is told "saved", before it is on disk', async () => {
  const { clock, waiting, peer, deliver } = await heldRoom();
  const [one, two] = [peer(1), peer(2)];
  deliver(one);
  deliver(two);
  one.doc.getMap(SHEET_ROOT).set(KEY, 3);
  deliver(one);
  const late = peer(3);
  deliver(late);
  clock.advance(4);
  await settleDown();
  for (const p of [one, two, late]) deliver(p);
  expect(two.doc.getMap(SHEET_ROOT).has(KEY)).toBe(false);
  expect(late.doc.getMap(SHEET_ROOT).has(KEY)).toBe(false);
  expect(one.saved).toBeLessThan(one.sent);
  waiting.shift()?.('kept');
  await settleDown();
  for (const p of [one, two, late]) deliver(p);
  await settleDown();
  for (const p of [one, two, late]) deliver(p);
  expect(two.doc.getMap(SHEET_ROOT).get(KEY)).toBe(3);
  expect(late.doc.getMap(SHEET_ROOT).get(KEY)).toBe(3);
  expect(one.saved).toBe(one.sent);
});

test('SY-3: when the commit fails, the room lets everybody go and is loaded anew from disk', async () => {
  const { clock, rooms, room, waiting, peer, deliver } = await heldRoom();
  const one = peer(1);
  deliver(one);
  one.doc.getMap(SHEET_ROOT).set(KEY, 3);
  deliver(one);
  clock.advance(4);
  waiting.shift()?.(new Error('the disk is full'));
  await settleDown();
  expect(room.failed).toBe(true);
  expect(one.closes.map((c) => c.code)).toEqual([4500]);
  const again = await rooms.open('doc', () => plan);
  expect(again).not.toBe(room);
  expect(again?.values(SHEET_ROOT).size).toBe(0);
});

test('SY-3: a frozen room takes nothing, and says so', async () => {
  const { room, peer, deliver } = await heldRoom();
  const one = peer(1);
  deliver(one);
  room.freeze();
  one.doc.getMap(SHEET_ROOT).set(KEY, 3);
  deliver(one);
  expect(one.closes.map((c) => c.code)).toEqual([4409]);
  expect(room.values(SHEET_ROOT).size).toBe(0);
});

test('SY-9: questions and presence have a budget; who uses it up is let go, who asks at a normal pace is not', async () => {
  const { clock, room, peer } = await heldRoom();
  const frames = { question: new Uint8Array([0, 0, 1, 0]), presence: new Uint8Array([1, 1, 0]) };
  for (const frame of Object.values(frames)) {
    const closes: number[] = [];
    const answers: number[] = [];
    const rude: RoomConnection = {
      seat: ME,
      device: 'd',
      mode: 'write',
      send: (bytes) => answers.push(bytes.length),
      close: (code) => closes.push(code),
      buffered: () => 0,
    };
    room.join(rude);
    for (let i = 0; i < 1000; i++) room.receive(rude, frame);
    expect(closes).toEqual([4529]);
    expect(answers.length).toBeLessThan(100);
  }
  const calm = peer(7);
  for (let minute = 0; minute < 10; minute++) {
    for (let i = 0; i < 4; i++) calm.push();
    clock.advance(15_000);
  }
  expect(calm.closes).toEqual([]);
});

test('SY-9: who does not read is let go at the first answer past 4 MB, not waited for', async () => {
  const { room } = await heldRoom();
  const closes: number[] = [];
  const slow: RoomConnection = {
    seat: ME,
    device: 'd',
    mode: 'read',
    send: () => undefined,
    close: (code) => closes.push(code),
    buffered: () => 5 * 1024 * 1024,
  };
  room.join(slow);
  room.receive(slow, new Uint8Array([0, 0, 1, 0]));
  expect(closes).toEqual([4500]);
  expect(room.connections).toEqual([]);
});
