import { setTimeout as pause } from 'node:timers/promises';
import type { Contestant } from './contestants.ts';
import type { Device, Seen } from './device.ts';
import { watchNoise } from './noise.ts';
import { timesOf, type Times } from './numbers.ts';

/** Edits at a pace, whatever the server does; or each as soon as the one before came back. */
export type Pace = { rate: number } | 'as-it-comes';

export interface LoadPlan {
  pace: Pace;
  /** Seconds that are counted, after a tenth of them that are not. */
  seconds: number;
  /** Whether all devices are compared at the end; the longer they were at work, the longer that takes. */
  compare?: boolean;
  /** Called when counting begins and when it ends. */
  onCounting?: (counting: boolean) => void;
}

/** What a load showed. Times are milliseconds. */
export interface LoadResult {
  devices: number;
  edits: number;
  editsPerSecond: number;
  /** Server processor microseconds for each edit, fan-out included. */
  cpuPerEdit: number;
  /** Share of one core that the server used, and that the clients did: near 1, the clients are the limit. */
  serverCores: number;
  clientCores: number;
  /** Edit to durable acknowledgement; null where there is none. */
  saved: Times | null;
  /** Edit to each other device of the document. */
  others: Times;
  /** Deliveries that never came, and documents whose devices ended unequal. */
  lost: number;
  unequal: number;
  /** Cores that other processes of the machine used meanwhile. */
  noise: number | undefined;
}

/** A connection may make 30 writes a second. */
const LEAST_GAP = 34;
const TICK = 2;
/** How long what is under way may take after the last edit. */
const DRAIN = 5000;

interface Writer {
  device: Device;
  others: number;
  /** When each edit was sent, by its place in the row of this load; when its write number was. */
  sentAt: Map<number, number>;
  writtenAt: Map<number, number>;
  nextAt: number;
  waiting: boolean;
  savedSeen: number;
}

/** One run of a load over devices that are open, document by document. */
class Load {
  readonly #writers = new Map<number, Writer>();
  readonly #hasAck: boolean;
  readonly #rate: number | null;
  readonly saved: number[] = [];
  readonly others: number[] = [];
  edits = 0;
  expected = 0;
  seen = 0;
  #counting = false;

  constructor(server: Contestant, rooms: readonly (readonly Device[])[], pace: Pace) {
    this.#hasAck = server.wire === 'ours';
    this.#rate = pace === 'as-it-comes' ? null : pace.rate;
    const gap = this.#rate === null ? LEAST_GAP : 1000 / this.#rate;
    let n = 0;
    const count = rooms.reduce((sum, r) => sum + r.length, 0);
    for (const room of rooms) {
      for (const device of room) {
        // Spread over one gap, so that the devices do not speak in one breath.
        const nextAt = performance.now() + 50 + (gap * n++) / count;
        const writer: Writer = {
          device,
          others: room.length - 1,
          sentAt: new Map(),
          writtenAt: new Map(),
          nextAt,
          waiting: false,
          savedSeen: device.saved,
        };
        this.#writers.set(device.doc.clientID, writer);
        device.onSeen = (seen) => this.#arrived(writer, seen);
        device.onSaved = (total) => this.#acknowledged(writer, total);
      }
    }
  }

  /** Sends what is due for `ms`; from the first `warm` of them nothing is counted. */
  async run(ms: number, warm: number, onCounting: () => Promise<void>): Promise<void> {
    const start = performance.now();
    const gap = this.#rate === null ? LEAST_GAP : 1000 / this.#rate;
    while (performance.now() - start < ms + warm) {
      const now = performance.now();
      if (!this.#counting && now - start >= warm) {
        await onCounting();
        this.#counting = true;
      }
      for (const writer of this.#writers.values()) {
        if (now < writer.nextAt || (this.#rate === null && writer.waiting)) continue;
        this.#send(writer);
        writer.nextAt = this.#rate === null ? now + gap : writer.nextAt + gap;
      }
      await pause(TICK);
    }
    this.#counting = false;
  }

  /** Waits until everything that was sent is acknowledged and delivered, or the time is over. */
  async drained(): Promise<void> {
    const end = performance.now() + DRAIN;
    const open = (): boolean =>
      this.seen < this.expected ||
      (this.#hasAck && [...this.#writers.values()].some((w) => w.device.saved < w.device.sent));
    while (open() && performance.now() < end) await pause(10);
  }

  #send(writer: Writer): void {
    const edit = writer.device.edit();
    if (!edit) throw new Error('too few edits were made ahead of the load');
    const now = performance.now();
    writer.waiting = true;
    this.expected += writer.others;
    if (this.#counting) {
      this.edits++;
      writer.sentAt.set(edit.clock, now);
      if (this.#hasAck) writer.writtenAt.set(writer.device.sent, now);
    }
  }

  #arrived(at: Writer, { client, clock }: Seen): void {
    const writer = this.#writers.get(client);
    if (!writer) return;
    // The stock servers show an edit to its author too: that is all they say to it.
    if (writer === at) writer.waiting = false;
    else {
      this.seen++;
      const sent = writer.sentAt.get(clock);
      if (sent !== undefined) this.others.push(performance.now() - sent);
    }
  }

  #acknowledged(writer: Writer, total: number): void {
    const now = performance.now();
    for (let n = writer.savedSeen + 1; n <= total; n++) {
      const sent = writer.writtenAt.get(n);
      if (sent !== undefined) this.saved.push(now - sent);
    }
    writer.savedSeen = Math.max(writer.savedSeen, total);
    if (total >= writer.device.sent) writer.waiting = false;
  }
}

const ownCpu = (): number => {
  const { user, system } = process.cpuUsage();
  return user + system;
};

/** Documents whose devices do not all hold the same. */
export const unequalRooms = (rooms: readonly (readonly Device[])[]): number =>
  rooms.filter((room) => {
    const [first, ...rest] = room.map((d) => JSON.stringify(Object.entries(d.settle()).toSorted()));
    return rest.some((text) => text !== first);
  }).length;

/** Puts a load on open devices. Their edits are made ahead, so that the clients cost little while it runs. */
export const editLoad = async (
  server: Contestant,
  rooms: readonly (readonly Device[])[],
  tasks: readonly string[],
  { pace, seconds, compare = true, onCounting = () => undefined }: LoadPlan,
): Promise<LoadResult> => {
  const warm = seconds * 100;
  const perDevice = pace === 'as-it-comes' ? 30 : pace.rate;
  for (const room of rooms) {
    for (const [d, device] of room.entries()) {
      const own = tasks.filter((_, t) => t % room.length === d).map((t) => `${t}/answer`);
      device.make(own, Math.ceil(perDevice * (seconds * 1.1 + 1)) + 2);
    }
  }
  const load = new Load(server, rooms, pace);
  let before = { server: 0, own: 0, at: 0 };
  let noise = watchNoise();
  await load.run(seconds * 1000, warm, async () => {
    noise = watchNoise();
    before = { server: (await server.use()).cpu, own: ownCpu(), at: performance.now() };
    onCounting(true);
  });
  onCounting(false);
  const wall = (performance.now() - before.at) / 1000;
  const own = (ownCpu() - before.own) / 1e6;
  const used = ((await server.use()).cpu - before.server) / 1e6;
  const other = noise(own + used);
  await load.drained();
  return {
    devices: rooms.reduce((sum, r) => sum + r.length, 0),
    edits: load.edits,
    editsPerSecond: load.edits / wall,
    cpuPerEdit: (used * 1e6) / load.edits,
    serverCores: used / wall,
    clientCores: own / wall,
    saved: server.wire === 'ours' ? timesOf(load.saved) : null,
    others: timesOf(load.others),
    lost: load.expected - load.seen,
    unequal: compare ? unequalRooms(rooms) : 0,
    noise: other,
  };
};
