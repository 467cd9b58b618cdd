import { cpSync } from 'node:fs';
import { startBalancer } from '../../support/balancer.ts';
import { freshDirectory, removeDirectory } from '../../support/program.ts';
import { startOurs, type Contestant } from './contestants.ts';
import { Device } from './device.ts';
import { editLoad, unequalRooms, type LoadResult } from './edit-load.ts';
import { unpinClients } from './machine.ts';
import { databaseOn } from './own-database.ts';
import { ownServices, type OwnServices } from './own-services.ts';
import { processorOf } from './processor.ts';
import { ramp, type Ramp, type Step } from './ramp.ts';
import type { Row, Section } from './report.ts';
import { closeAll, devicesOf, openAll, type Shape } from './rooms.ts';
import { buildWorld, type World } from './world.ts';

/** How many devices there are, and how the load is raised. */
export interface ClusterPlan extends Shape {
  /** Edits a second in all: the first load, and the highest that is tried. */
  from: number;
  most: number;
  /** Seconds of each step, and those that all ramps together may take. */
  seconds: number;
  budget: number;
}

/** Servers, and whether all devices of a document are at one of them or where the balancer puts each. */
type Placement = 'together' | 'apart';
const CASES: readonly (readonly [number, Placement])[] = [
  [1, 'together'],
  [2, 'together'],
  [3, 'together'],
  [2, 'apart'],
  [3, 'apart'],
];

const LIMIT_MS = 60;
/** A server that comes to fewer edits than this part of what was asked is not keeping up. */
const KEEPS_UP = 0.97;

/** What one step showed: the load, and processor microseconds an edit of everything else that takes part. */
interface StepResult {
  load: LoadResult;
  postgres: number;
  redis: number;
  balancer: number;
  generator: number;
}

/** Several servers counted as one. */
const together = (servers: readonly Contestant[], url: string): Contestant => {
  const [first] = servers;
  if (!first) throw new Error('there is no server');
  return {
    ...first,
    url,
    use: async (collect = false) => {
      const all = await Promise.all(servers.map((s) => s.use(collect)));
      const sum = (of: 'cpu' | 'heap' | 'rss'): number => all.reduce((n, u) => n + u[of], 0);
      return { cpu: sum('cpu'), heap: sum('heap'), rss: sum('rss') };
    },
    stop: async () => {
      for (const server of servers) await server.stop();
    },
  };
};

/** Names of the servers at the balancer. */
const NAMES = ['one', 'two', 'three'];

/** Devices that come through the balancer, which keeps a visitor at the server that its cookie names. */
const placed = (all: Contestant, world: World, shape: Shape, count: number, where: Placement) =>
  devicesOf(all, world, shape).map((room, r) =>
    room.map((device, d) => {
      const at = NAMES[(where === 'apart' ? d : r) % count] ?? '';
      const cookie = `${device.address.cookie ?? ''}; unhindered_at=${at}`;
      return new Device({ ...device.address, cookie });
    }),
  );

/** Raises the load on servers that are up. */
const measure = async (
  all: Contestant,
  rooms: readonly (readonly Device[])[],
  tasks: readonly string[],
  pids: { postgres: number; redis: number; balancer: number },
  plan: ClusterPlan,
): Promise<Ramp<StepResult> & { unequal: number }> => {
  const devices = plan.rooms * plan.devices;
  const used = (): Omit<StepResult, 'load'> => ({
    postgres: processorOf(pids.postgres),
    redis: processorOf(pids.redis),
    balancer: processorOf(pids.balancer),
    generator: process.cpuUsage().user / 1e6 + process.cpuUsage().system / 1e6,
  });
  const tryLoad = async (rate: number) => {
    let [before, after] = [used(), used()];
    const load = await editLoad(all, rooms, tasks, {
      pace: { rate: rate / devices },
      seconds: plan.seconds,
      compare: false,
      onCounting: (counting) => {
        if (counting) before = used();
        else after = used();
      },
    });
    const each = (of: keyof typeof before): number => ((after[of] - before[of]) * 1e6) / load.edits;
    const result = {
      load,
      postgres: each('postgres'),
      redis: each('redis'),
      balancer: each('balancer'),
      generator: each('generator'),
    };
    const keepsUp = load.editsPerSecond >= KEEPS_UP * rate;
    return { passed: load.others.p99 <= LIMIT_MS && load.lost === 0 && keepsUp, result };
  };
  // Compiling must not be measured.
  await tryLoad(plan.from);
  await tryLoad(plan.from * 2);
  const until = performance.now() + (plan.budget * 1000) / CASES.length;
  const found = await ramp({ ...plan, factor: 1.5, until }, tryLoad);
  return { ...found, unequal: unequalRooms(rooms) };
};

/** Why a load was not held, in a few words. */
const whyNot = ({ load, result }: Step<StepResult>): string => {
  const { lost, others, editsPerSecond } = result.load;
  if (lost > 0) return `${String(lost)} lost`;
  if (others.p99 > LIMIT_MS) return `p99 ${others.p99.toFixed(0)} ms`;
  return `${editsPerSecond.toFixed(0)} of ${load.toFixed(0)} came`;
};

const rowOf = (
  count: number,
  where: Placement,
  found: Awaited<ReturnType<typeof measure>>,
): Row => {
  const { best, failed } = found;
  const of = (what: (r: StepResult) => number): number | null => (best ? what(best.result) : null);
  const servers = of((r) => r.load.cpuPerEdit);
  const whole = of((r) => r.load.cpuPerEdit + r.postgres + r.redis + r.balancer);
  const place = count === 1 ? '' : where === 'apart' ? ', documents across' : ', documents dealt';
  return {
    what: `${String(count)} server${count > 1 ? 's' : ''}${place}`,
    figures: {
      'edits/s held': of((r) => r.load.editsPerSecond),
      'not held': failed?.load ?? found.ended,
      why: failed ? whyNot(failed) : '',
      'ack p50': of((r) => r.load.saved?.p50 ?? 0),
      p99: of((r) => r.load.saved?.p99 ?? 0),
      'others p50': of((r) => r.load.others.p50),
      'p99 ': of((r) => r.load.others.p99),
      'us/edit servers': servers,
      PostgreSQL: of((r) => r.postgres),
      Redis: of((r) => r.redis),
      HAProxy: of((r) => r.balancer),
      clients: of((r) => r.generator),
      'edits/s a server core': servers === null ? null : 1e6 / servers,
      'edits/s a core in all': whole === null ? null : 1e6 / whole,
      'lost, unequal': of((r) => r.load.lost + found.unequal),
      'cores of others': of((r) => r.load.noise ?? 0),
    },
  };
};

/** One case on a database of its own, so that none finds what another left. */
const oneCase = async (
  [count, where]: (typeof CASES)[number],
  services: OwnServices,
  plan: ClusterPlan,
): Promise<Row> => {
  const database = await databaseOn(services.store);
  const directories = NAMES.slice(0, count).map(() => freshDirectory());
  const [home = ''] = directories;
  const servers: Contestant[] = [];
  try {
    const { devices } = plan;
    const panels = Math.ceil(plan.rooms / 5);
    const shape = { panels, sealed: 5, reviewers: 1, devices, store: database };
    const world = await buildWorld(home, shape);
    for (const other of directories.slice(1)) {
      cpSync(`${home}/keys`, `${other}/keys`, { recursive: true });
    }
    const environment = { STORE: database, BUS: services.bus };
    for (const d of directories) servers.push(await startOurs(d, { environment, core: null }));
    const balancer = await startBalancer(servers.map((s) => Number(new URL(s.url).port)));
    const all = together(servers, balancer.url);
    const rooms = placed(all, world, plan, count, where);
    try {
      await openAll(rooms);
      const pids = { ...services, balancer: balancer.pid };
      return rowOf(count, where, await measure(all, rooms, world.tasks, pids, plan));
    } finally {
      closeAll(rooms);
      balancer.stop();
    }
  } finally {
    for (const server of servers) await server.stop();
    directories.forEach(removeDirectory);
  }
};

/**
 * How much one, two and three servers on PostgreSQL and Redis carry behind the balancer: the load is raised until the
 * 99th part of deliveries takes more than 60 ms, something is lost, or the servers do not keep up. Words when a service
 * cannot be had.
 */
export const clusterSection = async (plan: ClusterPlan): Promise<Section | string> => {
  const services = await ownServices();
  if (typeof services === 'string') return `several servers: ${services}`;
  unpinClients();
  try {
    const rows: Row[] = [];
    for (const which of CASES) rows.push(await oneCase(which, services, plan));
    const note =
      `${String(plan.rooms * plan.devices)} devices on ${String(plan.rooms)} documents, edits at a pace that is raised until ` +
      `p99 to others passes ${String(LIMIT_MS)} ms twice; servers, PostgreSQL, Redis, HAProxy and clients share all cores; ` +
      'processor microseconds an edit, fan-out included; "dealt": the devices of a document are at one server';
    return { name: 'Several servers', note, rows };
  } finally {
    await services.stop();
  }
};
