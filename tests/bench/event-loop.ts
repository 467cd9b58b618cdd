import { monitorEventLoopDelay } from 'node:perf_hooks';
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
import { accepted, seatedPanel } from '../support/seated-panel.ts';
import { testApp } from '../support/test-app.ts';
import { figureWorkload, liveSet } from '../support/figure-workload.ts';
import { openedEvents, wideProtocol } from '../support/evaluation-workload.ts';

/**
 * How long one panel of 500 tasks and 60 reviewers holds up everybody else: the longest delay of the event loop
 * (perf_hooks), and the longest stretch of processor time between two turns, which other work on the machine does
 * not lengthen so much. Run: `npm run bench:loop`; TASKS=n, REVIEWERS=n.
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

/** The longest stretch without a turn of the event loop while `work` runs. */
const held = async (work: () => unknown): Promise<Held> => {
  const delay = monitorEventLoopDelay({ resolution: 1 });
  let processor = 0;
  let since = cpu();
  let over = false;
  const turn = (): void => {
    const now = cpu();
    processor = Math.max(processor, now - since);
    since = now;
    if (!over) setImmediate(turn);
  };
  delay.enable();
  setImmediate(turn);
  await new Promise((resolve) => setImmediate(resolve));
  since = cpu();
  processor = 0;
  await work();
  await new Promise((resolve) => setImmediate(resolve));
  over = true;
  delay.disable();
  return { wall: delay.max / 1e6, processor };
};

const settle = (i: number): Stamped =>
  ({
    type: 'task-settled',
    data: { task: `t${String(i)}`, how: 'adopt', value: null, reason: null },
    at: '2026-03-02T09:00:00.000Z',
    actor: { seat: 'st_moderator' },
  }) as unknown as Stamped;

const print = (what: string, first: Held, later: Held[]): void => {
  const best = (of: keyof Held): string =>
    later.length === 0 ? '' : `, later ${Math.min(...later.map((h) => h[of])).toFixed(1)}`;
  process.stdout.write(
    `  ${what.padEnd(46)} processor ${first.processor.toFixed(1)}${best('processor')} ms;` +
      ` delay ${first.wall.toFixed(1)}${best('wall')} ms\n`,
  );
};

process.stdout.write(
  `${String(tasks)} tasks x ${String(reviewers)} reviewers: longest stretch without a turn, first time, and the ` +
    `best of ${String(ROUNDS)} more\n`,
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

/** The whole path of a command on a store in memory: 60 sheets read, judged, stamped, committed and taken. */
const throughFlows = async (): Promise<{ texts: string[]; log: string }> => {
  const { app } = testApp();
  app.tables = tables;
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
  // Nobody has looked yet: what the lock rests on is judged for it.
  print(
    'lock, from the command to the commit',
    await held(() => act({ type: 'lock', meaning: 'Invented.' })),
    [],
  );
  return { texts: await app.store.events(p.evaluation), log: p.evaluation };
};

const source = figureWorkload(tasks, reviewers);
await measure('live set of figures in one go', () => () => liveSet(source));
for (let i = 0; i < 2; i++) {
  process.stdout.write(i === 0 ? '  cold:\n' : '  and once more:\n');
  const { texts, log } = await throughFlows();
  await measure(
    'log read into a state',
    () => () => new LiveLog(log, evaluationLog).takeInTurns(texts, 0),
  );
}
await measure('opening shown to moderator and panel', () => {
  const live = fresh();
  const app = appOf(() => live);
  return async () => {
    const shared = new Map();
    for (const seat of ['st_moderator', ...source.table.reviewers]) {
      const slices = await untold(app, watchOf(seat), online, shared);
      for (const part of inParts(slices ?? {})) {
        // As it goes to a socket: a text, and its bytes.
        Buffer.from(slicesPacket('ev_bench', part));
        await new Promise((resolve) => setImmediate(resolve));
      }
    }
  };
});
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
