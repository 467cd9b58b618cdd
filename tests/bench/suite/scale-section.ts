import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startOurs, type Contestant } from './contestants.ts';
import { editLoad, type LoadResult } from './edit-load.ts';
import { median, timesOf } from './numbers.ts';
import type { Goal, Row, Section } from './report.ts';
import { closeAll, devicesOf, openAll } from './rooms.ts';
import { buildWorld, type World } from './world.ts';

export interface ScalePlan {
  /** Evaluations that stand in the store, in sealed rounds of five reviewers. */
  evaluations: number;
  /** Locked ones for the catalogue. */
  locked: number;
  repeats: number;
  seconds: number;
}

const FEW = 10;
/** Edits a second in all, however many evaluations they are spread over. */
const RATE = 200;

/** A server on the directory, how long it took to be ready, and what it holds then. */
const started = async (
  directory: string,
): Promise<{ server: Contestant; ms: number; heap: number }> => {
  const begin = performance.now();
  const server = await startOurs(directory);
  const ms = performance.now() - begin;
  return { server, ms, heap: (await server.use(true)).heap };
};

/** The same edits a second over so many evaluations, one device each, and over few, in turns. */
const spread = async (server: Contestant, world: World, plan: ScalePlan) => {
  const results = new Map<number, LoadResult[]>([
    [FEW, []],
    [plan.evaluations, []],
  ]);
  const rooms = devicesOf(server, world, { rooms: plan.evaluations, devices: 1 });
  const before = await server.use(true);
  await openAll(rooms);
  const after = await server.use(true);
  await editLoad(server, rooms.slice(0, FEW), world.tasks, { pace: 'as-it-comes', seconds: 3 });
  for (let i = 0; i < plan.repeats; i++) {
    for (const [count, of] of results) {
      const pace = { rate: RATE / count };
      of.push(
        await editLoad(server, rooms.slice(0, count), world.tasks, { pace, seconds: plan.seconds }),
      );
    }
  }
  closeAll(rooms);
  return { results, live: (after.heap - before.heap) / plan.evaluations };
};

const spreadRow = (count: number, runs: readonly LoadResult[]): Row => {
  const mid = (of: (r: LoadResult) => number): number => median(runs.map(of));
  return {
    what: `${String(RATE)} edits/s over ${String(count)} evaluations`,
    figures: {
      'us/edit': mid((r) => r.cpuPerEdit),
      'ack p50': mid((r) => r.saved?.p50 ?? 0),
      p99: mid((r) => r.saved?.p99 ?? 0),
      'cores of others': mid((r) => r.noise ?? 0),
    },
  };
};

const asked = async (url: string, cookie: string, path: string, times: number): Promise<Row> => {
  const ms: number[] = [];
  for (let i = 0; i <= times; i++) {
    const start = performance.now();
    const response = await fetch(`${url}/api${path}`, { headers: { cookie } });
    await response.arrayBuffer();
    if (!response.ok) throw new Error(`${path}: ${String(response.status)}`);
    if (i > 0) ms.push(performance.now() - start);
    else ms.push();
  }
  const { p50, p95, max } = timesOf(ms);
  return {
    what: `GET ${path.split('?')[0] ?? ''}${path.length > 40 ? ' of 12' : path.includes('q=') ? ', searched' : ''}`,
    figures: { p50, p95, max },
  };
};

/** The catalogue over HTTP, as a person in a panel asks it. */
export const catalogueSection = async (locked: number): Promise<Section> => {
  const directory = mkdtempSync(join(tmpdir(), 'unhindered-bench-'));
  const panels = Math.ceil(locked / 10);
  const world = await buildWorld(directory, { panels, sealed: 0, locked: 10, reviewers: 5 });
  const { server, ms } = await started(directory);
  try {
    const cookie = world.panels[0]?.moderator ?? '';
    const ids = world.panels.flatMap((p) => p.locked);
    const rows = [
      await asked(server.url, cookie, '/catalogue', 30),
      await asked(server.url, cookie, '/catalogue?q=heron%20gridiron', 30),
      await asked(
        server.url,
        cookie,
        `/compare?ids=${ids.slice(0, 2).join(',')}`.slice(0, 200),
        20,
      ),
      await asked(server.url, cookie, `/compare?ids=${ids.slice(0, 12).join(',')}`, 20),
    ];
    if (rows[2]) rows[2].what = 'GET /compare of 2';
    const note = `${String(ids.length)} locked evaluations of 30 tasks and 5 reviewers; ready after ${ms.toFixed(0)} ms; ms over HTTP`;
    return { name: 'Catalogue', note, rows };
  } finally {
    await server.stop();
    rmSync(directory, { recursive: true, force: true });
  }
};

/** Restart, memory and cost an edit with many evaluations in the store. */
export const scaleSection = async (
  plan: ScalePlan,
): Promise<{ section: Section; goals: Goal[] }> => {
  const [directory, small] = [0, 1].map(() => mkdtempSync(join(tmpdir(), 'unhindered-bench-'))) as [
    string,
    string,
  ];
  const panels = Math.ceil(plan.evaluations / 20);
  const world = await buildWorld(directory, { panels, sealed: 20, reviewers: 5 });
  await buildWorld(small, { panels: 1, sealed: 1, reviewers: 5 });
  try {
    const empty = await started(small);
    await empty.server.stop();
    const { server, ms, heap } = await started(directory);
    const { results, live } = await spread(server, world, plan);
    await server.stop();
    const unloaded = (heap - empty.heap) / plan.evaluations;
    const rows: Row[] = [
      { what: 'start with one evaluation', figures: { ms: empty.ms } },
      { what: `start with ${String(plan.evaluations)}`, figures: { ms } },
      { what: 'an evaluation nobody asked for since', figures: { kB: unloaded / 1000 } },
      {
        what: 'an evaluation in use, with its document and a device',
        figures: { kB: live / 1000 },
      },
      ...[...results].map(([count, runs]) => spreadRow(count, runs)),
    ];
    const cpu = (count: number): number =>
      median((results.get(count) ?? []).map((r) => r.cpuPerEdit));
    const flat = cpu(plan.evaluations) / cpu(FEW);
    const goals: Goal[] = [
      {
        what: 'idle evaluation once unloaded, kB',
        measured: unloaded / 1000,
        limit: 50,
        gate: false,
      },
      { what: 'evaluation in use, kB', measured: live / 1000, limit: 1000, gate: true },
      {
        what: `processor per edit over ${String(plan.evaluations)} evaluations to ${String(FEW)}`,
        measured: flat,
        limit: 2,
        gate: true,
      },
    ];
    return {
      section: { name: 'Scale', note: 'five reviewers each, sealed; medians in turns', rows },
      goals,
    };
  } finally {
    for (const d of [directory, small]) rmSync(d, { recursive: true, force: true });
  }
};
