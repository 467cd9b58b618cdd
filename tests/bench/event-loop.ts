import type { Socket } from 'socket.io';
import type { EvaluationCommand } from '../../shared-types/src/index.ts';
import { WorkerFigures } from '../../server/src/adapters/worker-figures.ts';
import { insight, insightQuestion } from '../../server/src/evaluation/insight.ts';
import { apply, fold, type Stamped } from '../../server/src/evaluation/fold.ts';
import { allStandings } from '../../server/src/evaluation/standing.ts';
import type { App, LiveEvaluation } from '../../server/src/flows/app.ts';
import { Tables } from '../../server/src/flows/tables.ts';
import { evaluationLog, LiveLog } from '../../server/src/flows/live-log.ts';
import { slicesPacket } from '../../server/src/realtime/slices-packet.ts';
import { inParts, untold, type Watch } from '../../server/src/realtime/watches.ts';
import { accepted, seatedPanel, type SeatedPanel } from '../support/seated-panel.ts';
import { testApp } from '../support/test-app.ts';
import { figureWorkload, liveSet } from '../support/figure-workload.ts';
import { openedEvents, wideProtocol } from '../support/evaluation-workload.ts';

/**
 * How long one panel of 500 tasks and 60 reviewers holds up everybody else: the longest time between two turns of
 * the event loop, and the longest processor time of all threads, collector and figures included. Run: `npm run bench:loop`; TASKS=n, REVIEWERS=n.
 */
const tasks = Number(process.env['TASKS'] ?? 500);
const reviewers = Number(process.env['REVIEWERS'] ?? 60);
const ROUNDS = 5;

const protocol = wideProtocol(tasks);
const events = openedEvents(tasks, reviewers);
const online = (): boolean => true;

/** As in the program: the figures of a large table in a thread of their own. Built by `npm run build`. */
const script = new URL('../../server/dist/table-worker.js', import.meta.url);
const fail = (words: string, error: unknown): void => {
  throw new Error(words, { cause: error });
};
const tables = new Tables(new WorkerFigures(script), {
  info: () => undefined,
  error: fail,
});

/** What looking at an evaluation needs of the program; the insight goes to its thread, which is not timed here. */
const appOf = (live: () => LiveEvaluation): App =>
  ({
    logs: {
      evaluation: () => Promise.resolve(live()),
      panel: () => Promise.resolve(undefined),
    },
    protocols: new Map([['emergency-access 1.0.0', { protocol, text: '', hash: '' }]]),
    insights: { of: () => null },
    tables,
    doubts: new Map(),
    names: new Map(),
  }) as unknown as App;

const watchOf = (seat: string): Watch => ({
  socket: {} as Socket,
  session: {} as Watch['session'],
  of: 'ev_bench',
  identity: { session: '', device: '', seat, panel: 'pn_bench' },
  told: new Map(),
  seen: 0,
  note: null,
});

const cpu = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

interface Held {
  wall: number;
  processor: number;
}

/**
 * The longest stretch without a turn of the event loop while `work` runs. The turns are watched one by one: a timer
 * (as of perf_hooks' monitorEventLoopDelay) that is not yet due in a short turn tells the next one longer than it is.
 */
const held = async (work: () => unknown): Promise<Held> => {
  const longest: Held = { wall: 0, processor: 0 };
  let since = { wall: performance.now(), processor: cpu() };
  let over = false;
  const turn = (): void => {
    const now = { wall: performance.now(), processor: cpu() };
    longest.wall = Math.max(longest.wall, now.wall - since.wall);
    longest.processor = Math.max(longest.processor, now.processor - since.processor);
    since = now;
    if (!over) setImmediate(turn);
  };
  setImmediate(turn);
  await new Promise((resolve) => setImmediate(resolve));
  await work();
  await new Promise((resolve) => setImmediate(resolve));
  over = true;
  return longest;
};

const settle = (i: number): Stamped =>
  ({
    type: 'task-settled',
    data: { task: `t${String(i)}`, how: 'adopt', value: null, reason: null },
    at: '2026-03-02T09:00:00.000Z',
    actor: { seat: 'st_moderator' },
  }) as unknown as Stamped;

const span = (later: readonly Held[], of: keyof Held): string => {
  const all = later.map((h) => h[of]);
  if (all.length === 0) return '';
  return `, later ${Math.min(...all).toFixed(1)} to ${Math.max(...all).toFixed(1)}`;
};

const print = (what: string, first: Held, later: readonly Held[]): void => {
  process.stdout.write(
    `  ${what.padEnd(46)} ${first.wall.toFixed(1)}${span(later, 'wall')} ms;` +
      ` processor ${first.processor.toFixed(1)}${span(later, 'processor')} ms\n`,
  );
};

process.stdout.write(
  `${String(tasks)} tasks x ${String(reviewers)} reviewers: longest stretch without a turn, first time, and ` +
    `${String(ROUNDS)} times more\n`,
);
/** First and later runs; a fresh copy of the evaluation each time, so that nothing is remembered. */
const measure = async (what: string, make: () => () => unknown): Promise<void> => {
  const first = await held(make());
  const later: Held[] = [];
  for (let i = 0; i < ROUNDS; i++) later.push(await held(make()));
  print(what, first, later);
};

const fresh = (): LiveEvaluation =>
  ({ id: 'ev_bench', state: fold(events), root: new Uint8Array(), size: 1 }) as LiveEvaluation;

/** What everybody who looks is told after an opening, as it goes to the sockets: texts, and their bytes. */
const showEverybody = async (app: App, p: SeatedPanel): Promise<void> => {
  const shared = new Map();
  for (const identity of [p.moderator, ...p.reviewers]) {
    const watch = { ...watchOf(identity.seat), of: p.evaluation, identity };
    for (const part of inParts((await untold(app, watch, online, shared)) ?? {})) {
      Buffer.from(slicesPacket(p.evaluation, part));
      await new Promise((resolve) => setImmediate(resolve));
    }
  }
};

/**
 * The whole path of a command on a store in memory: 60 sheets read, judged, stamped, committed and taken, and what
 * was opened shown to everybody where somebody looks; where nobody does, the lock judges what it rests on.
 */
const throughFlows = async (looking: boolean): Promise<{ texts: string[]; log: string }> => {
  const { app } = testApp();
  app.tables = tables;
  // In the program it is worked out in a thread of its own.
  app.insights = { of: () => null } as unknown as App['insights'];
  app.protocols = new Map([
    ['emergency-access 1.0.0', { protocol, text: '', hash: '0'.repeat(64) }],
  ]);
  const p = await seatedPanel(app, reviewers);
  const act = async (command: EvaluationCommand): Promise<void> =>
    accepted(await p.act(p.moderator, command));
  await act({ type: 'start-round' });
  const { cells } = source.table;
  for (const [j, who] of p.reviewers.entries()) {
    const rated = cells.flatMap((row, i) =>
      row[j] === undefined ? [] : [[`t${String(i)}`, row[j]]],
    );
    await p.rate(who, Object.fromEntries(rated) as Record<string, number>);
  }
  print(
    'opening, from the command to the commit',
    await held(() => act({ type: 'open-round', withMissing: true })),
    [],
  );
  if (looking) {
    print('opening shown to moderator and panel', await held(() => showEverybody(app, p)), []);
  }
  for (const t of allStandings((await p.live()).state, protocol)) {
    const decision = { confirm: false, reason: 'invented' };
    if (t.gateOwed) await act({ type: 'decide-gate', task: t.task, ...decision });
  }
  await act({ type: 'adopt-undisputed' });
  for (const t of allStandings((await p.live()).state, protocol)) {
    if ((await p.live()).state.settled.has(t.task)) continue;
    await act({
      type: 'settle-task',
      task: t.task,
      how: 'leave-open',
      value: null,
      reason: 'invented',
    });
  }
  print(
    'lock, from the command to the commit',
    await held(() => act({ type: 'lock', meaning: 'Invented.' })),
    [],
  );
  return { texts: await app.store.events(p.evaluation), log: p.evaluation };
};

const source = figureWorkload(tasks, reviewers);
await measure('live set of figures in one go', () => () => liveSet(source));
for (const looking of [true, false, true, false]) {
  process.stdout.write(looking ? '  everybody looks:\n' : '  nobody looks before the lock:\n');
  const { texts, log } = await throughFlows(looking);
  await measure(
    'log read into a state',
    () => () => new LiveLog(log, evaluationLog).takeInTurns(texts, 0),
  );
}
let live = fresh();
const app = appOf(() => live);
const desk = watchOf('st_moderator');
await untold(app, desk, online);
let settled = 0;
await measure('one settlement shown to the moderator', () => () => {
  live = { ...live, state: apply(live.state, settle(settled++)) } as unknown as LiveEvaluation;
  return untold(app, desk, online);
});
const question = insightQuestion(live.state, protocol, allStandings(live.state, protocol));
await measure("question for the insight's thread", () => () => structuredClone(question));
const asked = await held(() => insight(question));
print('insight itself (in its own thread)', asked, []);
await tables.close();
