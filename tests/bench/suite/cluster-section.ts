import { cpSync } from 'node:fs';
import { freshDatabase, noPostgres } from '../../support/postgres.ts';
import { freshDirectory, removeDirectory } from '../../support/program.ts';
import { noRedis, REDIS } from '../../support/redis.ts';
import { startOurs, type Contestant, type Use } from './contestants.ts';
import { editLoad, type LoadResult } from './edit-load.ts';
import { median } from './numbers.ts';
import type { EditsPlan } from './edits-section.ts';
import type { Row, Section } from './report.ts';
import { closeAll, devicesOf, openAll } from './rooms.ts';
import { buildWorld, type World } from './world.ts';
import { Device } from './device.ts';

/** Several servers counted as one. */
const together = (servers: readonly Contestant[]): Contestant => {
  const [first] = servers;
  if (!first) throw new Error('there is no server');
  const use = async (collect = false): Promise<Use> => {
    const all = await Promise.all(servers.map((s) => s.use(collect)));
    const sum = (of: (u: Use) => number): number => all.reduce((n, u) => n + of(u), 0);
    return { cpu: sum((u) => u.cpu), heap: sum((u) => u.heap), rss: sum((u) => u.rss) };
  };
  const stop = async (): Promise<void> => {
    for (const server of servers) await server.stop();
  };
  return { ...first, use, stop };
};

/** The devices of each document at one server, or each at the next one. */
const placed = (
  servers: readonly Contestant[],
  world: World,
  plan: EditsPlan,
  apart: boolean,
): Device[][] => {
  const [first] = servers;
  if (!first) return [];
  return devicesOf(first, world, plan).map((room, r) =>
    room.map((device, d) => {
      const server = servers[(apart ? d : r) % servers.length] ?? first;
      return new Device({ ...device.address, url: server.url });
    }),
  );
};

const rowOf = (what: string, runs: readonly { steady: LoadResult; most: LoadResult }[]): Row => {
  const mid = (of: (r: (typeof runs)[number]) => number): number => median(runs.map(of));
  return {
    what,
    figures: {
      'us/edit': mid((r) => r.steady.cpuPerEdit),
      'ack p50': mid((r) => r.steady.saved?.p50 ?? 0),
      p99: mid((r) => r.steady.saved?.p99 ?? 0),
      'others p50': mid((r) => r.steady.others.p50),
      'p99 ': mid((r) => r.steady.others.p99),
      'most edits/s': mid((r) => r.most.editsPerSecond),
      'us/edit at most': mid((r) => r.most.cpuPerEdit),
      lost: runs.reduce(
        (s, r) => s + r.steady.lost + r.most.lost + r.steady.unequal + r.most.unequal,
        0,
      ),
      'cores of others': mid((r) => r.steady.noise ?? 0),
    },
  };
};

/** One, two and three servers on PostgreSQL and Redis; words when those cannot be had. */
export const clusterSection = async (plan: EditsPlan): Promise<Section | string> => {
  if (noPostgres || noRedis) return 'several servers: PostgreSQL and Redis are needed';
  const database = await freshDatabase();
  const directories = [0, 1, 2].map(() => freshDirectory());
  const [home = ''] = directories;
  try {
    const panels = Math.ceil(plan.rooms / 5);
    const { devices } = plan;
    const world = await buildWorld(home, {
      panels,
      sealed: 5,
      reviewers: 1,
      devices,
      store: database.address,
    });
    for (const other of directories.slice(1))
      cpSync(`${home}/keys`, `${other}/keys`, { recursive: true });
    const rows: Row[] = [];
    for (const [count, apart] of [
      [1, false],
      [2, false],
      [2, true],
      [3, false],
      [3, true],
    ] as const) {
      const runs: { steady: LoadResult; most: LoadResult }[] = [];
      const environment = { STORE: database.address, BUS: REDIS };
      const servers: Contestant[] = [];
      for (const d of directories.slice(0, count))
        servers.push(await startOurs(d, { environment, core: null }));
      const all = together(servers);
      const rooms = placed(servers, world, plan, apart);
      await openAll(rooms);
      const load = (pace: 'as-it-comes' | { rate: number }, seconds: number) =>
        editLoad(all, rooms, world.tasks, { pace, seconds });
      await load('as-it-comes', plan.warm);
      for (let i = 0; i < plan.repeats; i++) {
        runs.push({
          steady: await load({ rate: 1 }, plan.seconds),
          most: await load('as-it-comes', plan.seconds),
        });
      }
      closeAll(rooms);
      await all.stop();
      const where =
        count === 1
          ? ''
          : apart
            ? ', devices of a document at different ones'
            : ', documents spread';
      rows.push(rowOf(`${String(count)} server${count > 1 ? 's' : ''}${where}`, runs));
    }
    const note =
      `${String(plan.rooms * devices)} devices on ${String(plan.rooms)} documents, 1 edit/s each; servers, PostgreSQL, ` +
      `Redis and clients share the cores; us/edit is that of the servers`;
    return { name: 'Several servers', note, rows };
  } finally {
    directories.forEach(removeDirectory);
    await database.drop();
  }
};
