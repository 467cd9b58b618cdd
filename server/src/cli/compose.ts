import { setTimeout as pause } from 'node:timers/promises';
import { jsonLog } from '../adapters/json-log.ts';
import { randomIds } from '../adapters/random-ids.ts';
import type { SqliteStore } from '../adapters/sqlite-store.ts';
import { WorkerFigures } from '../adapters/worker-figures.ts';
import { systemTimers } from '../adapters/system-timers.ts';
import { verifierKey, type NoteSigner } from '../audit/signed-note.ts';
import { Rooms } from '../documents/rooms.ts';
import { whyReadOnly, type App, type LiveEvaluation } from '../flows/app.ts';
import { checkStore, type LogFault } from '../flows/check-store.ts';
import { coverLogs } from '../flows/change.ts';
import { ClockWatch } from '../flows/clock-watch.ts';
import { commitWrites } from '../flows/commit-writes.ts';
import { leadInvitation } from '../flows/invite.ts';
import { Catalogue } from '../flows/catalogue.ts';
import { Insights } from '../flows/insights.ts';
import { Logs } from '../flows/logs.ts';
import { Records } from '../flows/records.ts';
import { PublicLinks } from '../flows/public-links.ts';
import { endOldSessions } from '../flows/sessions.ts';
import { record, recordJump, recordStart, systemLogOf } from '../flows/system-log.ts';
import { Tickets } from '../flows/tickets.ts';
import { CodeLimits } from '../http/code-limits.ts';
import type { Log } from '../ports/log.ts';
import { NotKept } from '../ports/not-kept.ts';
import type { Store } from '../ports/store.ts';
import type { Timers } from '../ports/timers.ts';
import { isLoopback, type Config } from './config.ts';
import { controlPath, listenControl } from './control.ts';
import { addressOf, attach, listen, makeServer, type Parts } from './listeners.ts';
import { openStore, publishedProtocols, storeFile, unreadable } from './open-store.ts';
import { SOFTWARE } from './software.ts';

/** A server that is listening. */
export interface Running {
  url: string;
  /** The lead's one-time way in, when one was made. */
  signInLink: string | null;
  /** Words for the person who started it: what is not protected, what is wrong. */
  warnings: string[];
  close(): Promise<void>;
}

/** Checkpoints over what no milestone covered, and ending what is over by the clock, this often. */
const TICK_MS = 30_000;
/** How long clients get to take their leave. */
const GOING_MS = 1500;

const transportOf = (config: Config): App['transport'] => {
  if (config.tls) return 'tls';
  return isLoopback(config.host) ? 'loopback' : 'plain';
};

const PLAIN_WARNING =
  'Not encrypted: anyone on this network can read ratings before they are opened, take over a session and ' +
  'change what you see. Use a network of your own, or start with --tls-cert and --tls-key.';

const faultWords = ({ log, seq, what }: LogFault): string =>
  `The store does not match its signatures: log ${log}, event ${String(seq)}: ${what}.`;

/** Beside the built program; see vite.config.ts. */
const INSIGHT_SCRIPT = new URL('./insight-worker.js', import.meta.url);
const RECORD_SCRIPT = new URL('./record-worker.js', import.meta.url);

/** The parts around one store, wired. `timers` is the machine's own clock but for a demonstration. */
export const assemble = async (
  config: Config,
  store: Store,
  signer: NoteSigner,
  log: Log,
  timers: Timers = systemTimers,
): Promise<Parts> => {
  const homes = new Map<string, LiveEvaluation>();
  const vkey = verifierKey(signer);
  const faults = await checkStore(store, vkey);
  const app: App = {
    store,
    logs: new Logs(store, vkey, new Set(faults.map((f) => f.log))),
    doubts: new Map(),
    catalogue: new Catalogue(),
    links: new PublicLinks(),
    insights: new Insights(new WorkerFigures(INSIGHT_SCRIPT), log),
    records: new Records(new WorkerFigures(RECORD_SCRIPT)),
    rooms: new Rooms(store, (batch) => commitWrites(app, homes, batch), timers),
    ids: randomIds,
    timers,
    clock: new ClockWatch(timers),
    system: null,
    signer,
    software: SOFTWARE,
    transport: transportOf(config),
    protocols: await publishedProtocols(store),
    codes: new CodeLimits(),
    names: new Map(),
    readOnly: faults.length === 0 ? null : faults.map(faultWords).join(' '),
    changed: () => undefined,
    ended: () => undefined,
  };
  app.system = await systemLogOf(app, () => randomIds.id('sy'));
  app.clock = new ClockWatch(timers, app.system.state.skew);
  return { app, homes, tickets: new Tickets(app) };
};

/** A clock that was set is on record, and the operator is told what it does and what it does not do. */
const lookAtClock = async (app: App, log: Log): Promise<void> => {
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

/** Work that recurs; returns how to stop it. */
const keepGoing = (app: App, used: () => string[], log: Log): (() => void) => {
  const tick = async (): Promise<void> => {
    await lookAtClock(app, log);
    await coverLogs(app);
    const over = await endOldSessions(app, used());
    if (over.length > 0) app.ended(over, 'expired');
  };
  const timer = setInterval(() => {
    tick().catch((error: unknown) => log.error('recurring work could not be done', error));
  }, TICK_MS);
  timer.unref();
  return () => clearInterval(timer);
};

/** Takes requests from the same machine: a copy of the store. Returns how to stop. */
const control = async (config: Config, store: SqliteStore, log: Log): Promise<() => void> => {
  const none = (): void => undefined;
  const path = controlPath(config.dataDirectory);
  if (path === undefined) return none;
  try {
    return await listenControl(path, async (file) => {
      await store.copyTo(file);
      return (await store.logs()).reduce((sum, { size }) => sum + size, 0);
    });
  } catch (error) {
    // Some file systems have no socket files: the server does without `backup`, not the panel without a server.
    log.error(`backups cannot be asked for at ${path}`, error);
    return none;
  }
};

/** A way in for the lead, when one is asked for or nobody has made a panel yet. */
const signInLink = async (app: App, url: string, asked: boolean): Promise<string | null> => {
  if (app.readOnly !== null) return null;
  const made = (await app.store.logs()).some(({ log }) => log.startsWith('pn_'));
  if (!asked && made) return null;
  const { invitation, secret } = leadInvitation(app);
  await app.store.commit({ invitations: [invitation] });
  return `${url}/sign-in#${secret}`;
};

/** Opens the store and listens. Throws a StoreUnavailable when the store is in use or cannot be trusted. */
export const startServer = async (config: Config, webDirectory: string): Promise<Running> => {
  const log = jsonLog(config.logLevel, process.stderr);
  const server = makeServer(config);
  const { store, signer } = openStore(config.dataDirectory);
  store.told = (words, error) => log.error(words, error);
  try {
    const parts = await assemble(config, store, signer, log);
    const { app } = parts;
    await app.logs.wakeUncovered();
    await tellStart(app);
    await coverLogs(app);
    const { publisher, panel, documents } = attach(server, parts, config, webDirectory, log);
    const url = addressOf(config, await listen(server, config));
    const used = (): string[] => [...panel.sessions, ...documents.sessions];
    const stop = keepGoing(app, used, log);
    const stopControl = await control(config, store, log);
    return {
      url,
      signInLink: await signInLink(app, url, config.newSignInLink),
      warnings: [
        ...(app.transport === 'plain' ? [PLAIN_WARNING] : []),
        ...(app.readOnly === null ? [] : [`Read-only. ${app.readOnly}`]),
      ],
      close: async () => {
        stop();
        stopControl();
        const closed = new Promise<void>((resolve) => server.close(() => resolve()));
        await app.rooms.close();
        documents.close();
        await panel.close();
        await Promise.race([closed, pause(GOING_MS, undefined, { ref: false })]);
        await publisher.close();
        await app.insights.close();
        await app.records.close();
        await tellStop(app, log);
        await coverLogs(app);
        await store.close();
      },
    };
  } catch (error) {
    await store.close();
    const cause = error instanceof NotKept ? error.cause : error;
    throw unreadable(storeFile(config.dataDirectory), cause);
  }
};
