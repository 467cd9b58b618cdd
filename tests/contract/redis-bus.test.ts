import { connect, createServer, type AddressInfo, type Server, type Socket } from 'node:net';
import { describe, expect, onTestFinished, test } from 'vitest';
import { RedisBus } from '../../server/src/adapters/redis-bus.ts';
import type { Notice } from '../../server/src/ports/bus.ts';
import { noRedis, REDIS } from '../support/redis.ts';

const silent = { info: () => undefined, error: () => undefined };

/** A bus that is ready, with what it heard and how often it was told to look again. */
const listening = async (workspace: string, address = REDIS) => {
  const bus = RedisBus.open(address, silent);
  onTestFinished(() => bus.close());
  const heard: Notice[] = [];
  const gaps = { count: 0 };
  bus.onNotice(workspace, (notice) => heard.push(notice));
  bus.onGap(() => gaps.count++);
  await expect.poll(() => bus.connected(), { timeout: 5000 }).toBe(true);
  return { bus, heard, gaps };
};

/** A line to Redis that can be cut and mended. */
const line = async () => {
  const to = new URL(REDIS);
  const sockets = new Set<Socket>();
  const join = (from: Socket): void => {
    const there = connect(Number(to.port || 6379), to.hostname);
    for (const s of [from, there]) {
      sockets.add(s);
      s.on('error', () => undefined);
    }
    from.pipe(there).pipe(from);
  };
  const open = async (port: number): Promise<Server> => {
    const server = createServer(join);
    await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
    return server;
  };
  let server = await open(0);
  const { port } = server.address() as AddressInfo;
  const cut = async (): Promise<void> => {
    const closed = new Promise((resolve) => server.close(resolve));
    for (const s of sockets) s.destroy();
    sockets.clear();
    await closed;
  };
  const mend = async (): Promise<void> => {
    server = await open(port);
  };
  return { address: `redis://127.0.0.1:${String(port)}`, cut, mend };
};

/** Names of this run alone: the stream is shared with whoever else uses the same Redis. */
const workspaceOf = (name: string): string => `ws_${name}_${String(process.pid)}`;

describe.skipIf(noRedis)('notices over Redis', () => {
  test('a notice reaches the other processes of its workspace, once, and not the teller', async () => {
    const [w, other] = [workspaceOf('one'), workspaceOf('two')];
    const here = await listening(w);
    const there = await listening(w);
    const elsewhere = await listening(other);
    here.bus.tell(w, { kind: 'log', log: 'ev_1' });
    here.bus.tell(other, { kind: 'log', log: 'ev_2' });
    await expect.poll(() => elsewhere.heard).toEqual([{ kind: 'log', log: 'ev_2' }]);
    await expect.poll(() => there.heard).toEqual([{ kind: 'log', log: 'ev_1' }]);
    const written = {
      kind: 'documents',
      written: [{ document: 'dc_1', numbers: [4, 7] }],
    } as const;
    there.bus.tell(w, written);
    await expect.poll(() => here.heard).toEqual([written]);
  });

  test('BU-1: a line that was cut is known to be cut, and mended it makes everybody look again', async () => {
    const w = workspaceOf('cut');
    const { address, cut, mend } = await line();
    onTestFinished(cut);
    const far = await listening(w, address);
    const near = await listening(w);
    const before = far.gaps.count;
    expect(before).toBeGreaterThan(0);
    await cut();
    await expect.poll(() => far.bus.connected(), { timeout: 5000 }).toBe(false);
    near.bus.tell(w, { kind: 'log', log: 'ev_missed' });
    await mend();
    await expect.poll(() => far.bus.connected(), { timeout: 10_000 }).toBe(true);
    expect(far.gaps.count).toBeGreaterThan(before);
    near.bus.tell(w, { kind: 'log', log: 'ev_after' });
    await expect.poll(() => far.heard).toContainEqual({ kind: 'log', log: 'ev_after' });
  });
});
