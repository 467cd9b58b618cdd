import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startOurs, startStock, type Contestant, type Wire } from './contestants.ts';
import { editLoad, type LoadResult } from './edit-load.ts';
import { median, timesOf, type Times } from './numbers.ts';
import type { Goal, Row, Section } from './report.ts';
import { addressOfNth, closeAll, devicesOf, openAll } from './rooms.ts';
import type { StockServers } from './stock-servers.ts';
import { buildWorld, type World } from './world.ts';

/** How long and how often the servers are loaded. */
export interface EditsPlan {
  rooms: number;
  devices: number;
  repeats: number;
  seconds: number;
  /** Seconds at full speed before anything is counted: compiling must not be measured. */
  warm: number;
}

/** Everything one server showed in one run. */
interface Run {
  wire: Wire;
  joins: Times & { wall: number };
  /** Heap bytes of one more live document with one device, and of one more device on it. */
  room: number;
  device: number;
  steady: LoadResult;
  most: LoadResult;
}

const RATE = 2;

const start = (wire: Wire, directory: string, stock: StockServers): Promise<Contestant> => {
  if (wire === 'ours') return startOurs(directory);
  if ('missing' in stock) throw new Error(stock.missing);
  return startStock(wire, stock[wire]);
};

/** All devices at once, their tickets in hand. */
const joinAll = async (rooms: ReturnType<typeof devicesOf>): Promise<Run['joins']> => {
  const devices = rooms.flat();
  for (let i = 0; i < devices.length; i += 20) {
    await Promise.all(devices.slice(i, i + 20).map((d) => d.prepare()));
  }
  const begin = performance.now();
  const times = await Promise.all(
    devices.map(async (d, i) => {
      await d.open(addressOfNth(i));
      return performance.now() - begin;
    }),
  );
  return { ...timesOf(times), wall: performance.now() - begin };
};

const oneRun = async (
  wire: Wire,
  { rooms, devices, seconds, warm }: EditsPlan,
  { directory, world, stock }: { directory: string; world: World; stock: StockServers },
): Promise<Run> => {
  const server = await start(wire, directory, stock);
  const all = devicesOf(server, world, { rooms, devices });
  try {
    // One connection first, so that what every server loads once is not counted as a document's.
    const [[first] = []] = devicesOf(server, world, { rooms: 1, devices: 1 });
    await first?.open();
    const empty = await server.use(true);
    await openAll(all.map((room) => room.slice(0, 1)));
    const one = await server.use(true);
    await openAll(all.map((room) => room.slice(1)));
    const many = await server.use(true);
    const load = (pace: 'as-it-comes' | { rate: number }, s: number) =>
      editLoad(server, all, world.tasks, { pace, seconds: s });
    await load('as-it-comes', warm);
    const steady = await load({ rate: RATE }, seconds);
    const most = await load('as-it-comes', seconds);
    closeAll([...all, first ? [first] : []]);
    const again = devicesOf(server, world, { rooms, devices });
    const joins = await joinAll(again);
    closeAll(again);
    return {
      wire,
      joins,
      room: (one.heap - empty.heap) / rooms,
      device: (many.heap - one.heap) / (rooms * (devices - 1)),
      steady,
      most,
    };
  } finally {
    closeAll(all);
    await server.stop();
  }
};

const NAMES: Record<Wire, string> = {
  ours: 'Unhindered: checks, rights, durable',
  yws: '@y/websocket-server 0.1.1: memory only',
  hocuspocus: 'Hocuspocus 3.4.4: memory only',
};

const rowOf = (wire: Wire, runs: readonly Run[]): Row => {
  const mid = (of: (run: Run) => number): number => median(runs.map(of));
  const saved = (of: (t: Times) => number): number | null =>
    wire === 'ours' ? mid((r) => of(r.steady.saved ?? r.steady.others)) : null;
  return {
    what: NAMES[wire],
    figures: {
      'us/edit': mid((r) => r.steady.cpuPerEdit),
      'ack p50': saved((t) => t.p50),
      p95: saved((t) => t.p95),
      p99: saved((t) => t.p99),
      'others p50': mid((r) => r.steady.others.p50),
      'p95 ': mid((r) => r.steady.others.p95),
      'p99 ': mid((r) => r.steady.others.p99),
      'most edits/s': mid((r) => r.most.editsPerSecond),
      'us/edit at most': mid((r) => r.most.cpuPerEdit),
      'edits/s a core': mid((r) => 1e6 / r.most.cpuPerEdit),
      'joins p50': mid((r) => r.joins.p50),
      'joins wall': mid((r) => r.joins.wall),
      'kB/document': mid((r) => r.room / 1000),
      'kB/device': mid((r) => r.device / 1000),
      lost: runs.reduce((sum, r) => sum + r.steady.lost + r.most.lost, 0),
      unequal: runs.reduce((sum, r) => sum + r.steady.unequal + r.most.unequal, 0),
      'cores of others': mid((r) => r.steady.noise ?? 0),
    },
  };
};

/** Ratios between servers in one run; seconds are goals only, for they depend on what else the machine does. */
const goalsOf = (runs: readonly Run[]): Goal[] => {
  const of = (wire: Wire) => runs.filter((r) => r.wire === wire);
  const mid = (wire: Wire, what: (run: Run) => number): number => median(of(wire).map(what));
  const ratio = (what: (run: Run) => number): number => mid('ours', what) / mid('yws', what);
  const steady = ratio((r) => r.steady.cpuPerEdit);
  const most = ratio((r) => r.most.cpuPerEdit);
  const lost = of('ours').reduce((s, r) => s + r.steady.lost + r.most.lost + r.steady.unequal, 0);
  const beside: Goal[] =
    of('yws').length === 0
      ? []
      : [
          {
            what: 'processor per edit at a steady pace, to the stock server',
            measured: steady,
            limit: 1,
            gate: false,
          },
          {
            what: 'processor per edit at most edits/s, to the stock server',
            measured: most,
            limit: 1,
            gate: false,
          },
          {
            what: 'same at a steady pace, with room for noise',
            measured: steady,
            limit: GATE_STEADY,
            gate: true,
          },
          {
            what: 'same at most edits/s, with room for noise',
            measured: most,
            limit: GATE_MOST,
            gate: true,
          },
        ];
  return [
    ...beside,
    { what: 'edits lost or shown differently', measured: lost, limit: 0, gate: true },
    {
      what: 'durable acknowledgement p50, ms',
      measured: mid('ours', (r) => r.steady.saved?.p50 ?? 0),
      limit: 8,
      gate: false,
    },
    {
      what: 'p99 to other devices, ms',
      measured: mid('ours', (r) => r.steady.others.p99),
      limit: 60,
      gate: false,
    },
    {
      what: 'memory of a live document with one device, kB',
      measured: mid('ours', (r) => r.room / 1000),
      limit: 1000,
      gate: false,
    },
  ];
};

/**
 * Limits of the gate: the largest ratio of several runs, and room. At a light steady pace nearly all of ours is the
 * commit to disk, which a server that keeps nothing has not: 1.2 to 1.4 on a quiet machine.
 */
const GATE_STEADY = 4;
const GATE_MOST = 1.6;

/** Edits, joins and memory on our server and on stock ones, taken in turns. */
export const editsSection = async (
  plan: EditsPlan,
  stock: StockServers,
): Promise<{ section: Section; goals: Goal[] }> => {
  const directory = mkdtempSync(join(tmpdir(), 'unhindered-bench-'));
  try {
    const panels = Math.ceil(plan.rooms / 5);
    const world = await buildWorld(directory, {
      panels,
      sealed: 5,
      reviewers: 1,
      devices: plan.devices,
      prefilled: 10,
    });
    const wires: Wire[] = 'missing' in stock ? ['ours'] : ['ours', 'yws', 'hocuspocus'];
    const runs: Run[] = [];
    for (let i = 0; i < plan.repeats; i++) {
      for (const wire of wires) runs.push(await oneRun(wire, plan, { directory, world, stock }));
    }
    const rows = wires.map((wire) =>
      rowOf(
        wire,
        runs.filter((r) => r.wire === wire),
      ),
    );
    const all = plan.rooms * plan.devices;
    const note =
      `${String(all)} devices on ${String(plan.rooms)} documents, ${String(RATE)} edits/s each, medians of ` +
      `${String(plan.repeats)} runs in turns; ms; "most": each device again when its edit came back, 29 a second at most`;
    return { section: { name: 'Edits', note, rows }, goals: goalsOf(runs) };
  } finally {
    rmSync(directory, { recursive: true, force: true });
  }
};
