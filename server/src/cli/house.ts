import { meteredStore } from '../adapters/metered-store.ts';
import { MemoryTickets } from '../adapters/memory-tickets.ts';
import { randomIds } from '../adapters/random-ids.ts';
import { systemTimers } from '../adapters/system-timers.ts';
import { WorkerFigures } from '../adapters/worker-figures.ts';
import { WorkerSeries } from '../adapters/worker-series.ts';
import { keysOf, type Signer } from '../audit/key-chain.ts';
import { Rooms } from '../documents/rooms.ts';
import { whyReadOnly, type App, type LiveEvaluation } from '../flows/app.ts';
import { coverLogs } from '../flows/change.ts';
import { checkStore, type LogFault } from '../flows/check-store.ts';
import { ClockWatch } from '../flows/clock-watch.ts';
import { Catalogue } from '../flows/catalogue.ts';
import { commitWrites } from '../flows/commit-writes.ts';
import { sweepMedia } from '../flows/media.ts';
import { Insights } from '../flows/insights.ts';
import { Ladders } from '../flows/ladders.ts';
import { Logs } from '../flows/logs.ts';
import { learnProtocolOf } from '../flows/published-protocols.ts';
import { PublicLinks } from '../flows/public-links.ts';
import { Records } from '../flows/records.ts';
import { SeriesImports } from '../flows/series-imports.ts';
import { record, recordJump, recordStart, systemLogOf } from '../flows/system-log.ts';
import { Tables } from '../flows/tables.ts';
import { Tickets } from '../flows/tickets.ts';
import type { CodeDoor } from '../ports/code-door.ts';
import type { Log } from '../ports/log.ts';
import type { MediaFiles } from '../ports/media-files.ts';
import type { Meter } from '../ports/meter.ts';
import type { Timers } from '../ports/timers.ts';
import type { Store } from '../ports/store.ts';
import type { TicketStore } from '../ports/ticket-store.ts';
import { Publisher } from '../realtime/publisher.ts';
import type { Parts } from './listeners.ts';
import { publishedProtocols } from './open-store.ts';
import { SOFTWARE } from './software.ts';

const faultWords = ({ log, seq, what }: LogFault): string =>
  `The store does not match its signatures: log ${log}, event ${String(seq)}: ${what}.`;

/** A thread's script, beside this file once both are built (see vite.config.ts). Sources use the built one. */
const script = (name: string): URL => {
  const built = import.meta.url.endsWith('.ts') ? '../../dist/' : './';
  return new URL(`${built}${name}-worker.js`, import.meta.url);
};

/** What one organisation is kept in. */
export interface Kept {
  store: Store;
  tickets: TicketStore;
  /** The log of what happens to this process; null for the only one there is in the store. */
  systemLog: string | null;
}

/** What all organisations of a server have in common. */
export interface Common {
  /** Other processes may work on the same store. */
  shared: boolean;
  signer: Signer;
  transport: App['transport'];
  proxied: boolean;
  codes: CodeDoor;
  media: MediaFiles;
  log: Log;
  meter: Meter;
}

/** A store that only this process works on. */
export const keptAlone = (store: Store): Kept => ({
  store,
  tickets: new MemoryTickets(),
  systemLog: null,
});

/**
 * The log of what happens to this process, and the watch of its clock. On a shared store sessions are aged by the
 * clock as it was at the start: a jump before that was one machine's, and the others know nothing of it.
 */
const watchSystem = async (app: App, { systemLog }: Kept): Promise<void> => {
  app.system =
    systemLog === null
      ? await systemLogOf(app, () => randomIds.id('sy'))
      : await app.logs.system(systemLog);
  app.clock = new ClockWatch(app.timers, app.shared ? 0 : app.system.state.skew);
};

/** The parts around the store of one organisation, wired. `timers` is the machine's own clock but for a demonstration. */
export const assemble = async (
  kept: Kept,
  { shared, signer, transport, proxied, codes, media, log, meter }: Common,
  timers: Timers = systemTimers,
): Promise<Parts> => {
  const store = meteredStore(kept.store, meter);
  const homes = new Map<string, LiveEvaluation>();
  const keys = keysOf(signer);
  const faults = await checkStore(store, keys);
  const protocols = await publishedProtocols(store);
  const app: App = {
    store,
    logs: new Logs(store, keys, new Set(faults.map((f) => f.log)), shared, (first) =>
      learnProtocolOf({ store, protocols }, first),
    ),
    doubts: new Map(),
    learning: new WorkerFigures(script('learning')),
    records: new Records(new WorkerFigures(script('record'))),
    series: new SeriesImports(new WorkerSeries(script('series')), SOFTWARE),
    catalogue: new Catalogue(),
    links: new PublicLinks(),
    tables: new Tables(new WorkerFigures(script('table')), log),
    insights: new Insights(new WorkerFigures(script('insight')), log),
    ladders: new Ladders(new WorkerFigures(script('ladder'))),
    variances: new WorkerFigures(script('variance')),
    media,
    rooms: new Rooms(store, (batch) => commitWrites(app, homes, batch), timers),
    ids: randomIds,
    timers,
    clock: new ClockWatch(timers),
    system: null,
    signer,
    software: SOFTWARE,
    transport,
    proxied,
    protocols,
    codes,
    names: new Map(),
    readOnly: faults.length === 0 ? null : faults.map(faultWords).join(' '),
    shared,
    wrote: () => undefined,
    changed: () => undefined,
    ended: () => undefined,
  };
  await watchSystem(app, kept);
  const publisher = new Publisher(app, systemTimers, log);
  return { app, homes, tickets: new Tickets(app, kept.tickets), publisher };
};

/** A clock that was set is on record, and the operator is told what it does and what it does not do. */
export const lookAtClock = async (app: App, log: Log): Promise<void> => {
  if (!app.system || whyReadOnly(app) !== null) return;
  const ms = await recordJump(app, app.system);
  if (ms === 0) return;
  const by = `${ms < 0 ? '-' : '+'}${String(Math.round(Math.abs(ms) / 1000))} s`;
  const meaning = 'nobody is signed out; codes and links may run out sooner or later than they say';
  log.error(`the clock of this machine was set by ${by}`, new Error(meaning));
};

/** The start is on record, unless nothing can be. */
const tellStart = async (app: App): Promise<void> => {
  if (app.system && whyReadOnly(app) === null) await recordStart(app, app.system);
};

/** A stop that was asked for is on record: the next start is no recovery. */
const tellStop = async (app: App, log: Log): Promise<void> => {
  if (!app.system || whyReadOnly(app) !== null) return;
  try {
    await record(app, app.system, [{ type: 'server-stopped', data: {} }]);
  } catch (error) {
    log.error('the stop is not on record', error);
  }
};

/** Opens the house of one organisation: its store is checked, its start is on record. */
export const openHouse = async (kept: Kept, common: Common): Promise<Parts> => {
  const parts = await assemble(kept, common);
  await parts.app.logs.wakeUncovered();
  await tellStart(parts.app);
  if (whyReadOnly(parts.app) === null) await sweepMedia(parts.app);
  await coverLogs(parts.app);
  return parts;
};

/** Closes it, when its sockets are closed: nothing is read any more, and the stop is on record. */
export const closeHouse = async ({ app, publisher }: Parts, log: Log): Promise<void> => {
  await publisher.close();
  await app.insights.close();
  await app.ladders.close();
  await app.variances.close();
  await app.tables.close();
  await app.records.close();
  await app.learning.close();
  await tellStop(app, log);
  await coverLogs(app);
  await app.store.close();
};
