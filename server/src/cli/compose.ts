import { setTimeout as pause } from 'node:timers/promises';
import { jsonLog } from '../adapters/json-log.ts';
import type { SqliteStore } from '../adapters/sqlite-store.ts';
import { randomIds } from '../adapters/random-ids.ts';
import type { App } from '../flows/app.ts';
import { coverLogs } from '../flows/change.ts';
import { severalHouses } from '../flows/houses.ts';
import { leadInvitation } from '../flows/invite.ts';
import { endOldSessions } from '../flows/sessions.ts';
import { CodeLimits } from '../http/code-limits.ts';
import { NotKept } from '../ports/not-kept.ts';
import type { Log } from '../ports/log.ts';
import { isLoopback, type Config } from './config.ts';
import { controlPath, listenControl, type ControlWork } from './control.ts';
import { closeHouse, lookAtClock, openHouse, type Common } from './house.ts';
import {
  addressOf,
  attach,
  follow,
  followCodes,
  listen,
  makeServer,
  type Listeners,
  type Parts,
} from './listeners.ts';
import { FIRST_WORKSPACE, openFile, storeFile, unreadable, type OpenFile } from './open-store.ts';

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

/** Work that recurs; returns how to stop it. */
const keepGoing = (houses: () => Parts[], used: () => string[], log: Log): (() => void) => {
  const tick = async ({ app }: Parts): Promise<void> => {
    await lookAtClock(app, log);
    await coverLogs(app);
    const over = await endOldSessions(app, used());
    if (over.length > 0) app.ended(over, 'expired');
  };
  const timer = setInterval(() => {
    for (const house of houses()) {
      tick(house).catch((error: unknown) => log.error('recurring work could not be done', error));
    }
  }, TICK_MS);
  timer.unref();
  return () => clearInterval(timer);
};

/** Takes requests from the same machine. Returns how to stop. */
const control = async (config: Config, work: ControlWork, log: Log): Promise<() => void> => {
  const none = (): void => undefined;
  const path = controlPath(config.dataDirectory);
  if (path === undefined) return none;
  try {
    return await listenControl(path, work);
  } catch (error) {
    // Some file systems have no socket files: the server does without `backup`, not the panel without a server.
    log.error(`backups cannot be asked for at ${path}`, error);
    return none;
  }
};

const newLink = async (app: App, url: string): Promise<string> => {
  const { invitation, secret } = leadInvitation(app);
  await app.store.commit({ invitations: [invitation] });
  return `${url}/sign-in#${secret}`;
};

/** A way in for the lead, when one is asked for or nobody has made a panel yet. */
const signInLink = async (app: App, url: string, asked: boolean): Promise<string | null> => {
  if (app.readOnly !== null) return null;
  const made = (await app.store.logs()).some(({ log }) => log.startsWith('pn_'));
  return asked || !made ? newLink(app, url) : null;
};

const eventsIn = async (houses: Iterable<Parts>): Promise<number> => {
  let sum = 0;
  for (const { app } of houses) for (const { size } of await app.store.logs()) sum += size;
  return sum;
};

/** A store that tells the operator when nothing can be kept. */
const toldTo = (log: Log, store: SqliteStore): SqliteStore => {
  store.told = (words, error) => log.error(words, error);
  return store;
};

/** Opens every organisation of a file, the first first. */
const openHouses = async (file: OpenFile, common: Common): Promise<Map<string, Parts>> => {
  const houses = new Map<string, Parts>();
  for (const { id } of await file.workspaces.all()) {
    houses.set(id, await openHouse(toldTo(common.log, file.store(id)), common));
  }
  return houses;
};

/** What this server does when somebody on the same machine asks. */
const controlWork = (
  file: OpenFile,
  open: Map<string, Parts>,
  common: Common,
  listeners: Listeners,
  url: string,
): ControlWork => {
  return {
    backup: async (to) => {
      await file.copyTo(to);
      return { events: await eventsIn(open.values()) };
    },
    workspaces: async () => ({ workspaces: await file.workspaces.all() }),
    addWorkspace: async (name) => {
      const id = randomIds.id('ws');
      await file.workspaces.add({ id, name }, new Date().toISOString());
      const house = await openHouse(toldTo(common.log, file.store(id)), common);
      follow(house, listeners);
      open.set(id, house);
      return { link: await newLink(house.app, url) };
    },
    linkWorkspace: async (name) => {
      const known = (await file.workspaces.all()).find((w) => w.name === name);
      const house = known && open.get(known.id);
      if (!house) throw new Error(`there is no workspace "${name}"`);
      return { link: await newLink(house.app, url) };
    },
  };
};

/** Opens the store and listens. Throws a StoreUnavailable when the store is in use or cannot be trusted. */
export const startServer = async (config: Config, webDirectory: string): Promise<Running> => {
  const log = jsonLog(config.logLevel, process.stderr);
  const server = makeServer(config);
  const file = openFile(config.dataDirectory);
  try {
    const codes = new CodeLimits();
    const { proxy: proxied } = config;
    const common = { signer: file.signer, transport: transportOf(config), proxied, codes, log };
    const open = await openHouses(file, common);
    const first = open.get(FIRST_WORKSPACE);
    if (!first) throw new Error(`${storeFile(config.dataDirectory)} has lost its first workspace`);
    const houses = severalHouses(file.workspaces, open, first);
    const listeners = attach(server, first, houses, config, webDirectory, log);
    followCodes(houses, codes, log);
    for (const house of houses.all()) follow(house, listeners);
    const url = addressOf(config, await listen(server, config));
    const { panel, documents } = listeners;
    const used = (): string[] => [...panel.sessions, ...documents.sessions];
    const stop = keepGoing(() => houses.all(), used, log);
    const work = controlWork(file, open, common, listeners, url);
    const stopControl = await control(config, work, log);
    const readOnly = houses
      .all()
      .flatMap(({ app }) => (app.readOnly === null ? [] : [app.readOnly]));
    return {
      url,
      signInLink: await signInLink(first.app, url, config.newSignInLink),
      warnings: [
        ...(common.transport === 'plain' ? [PLAIN_WARNING] : []),
        ...readOnly.map((why) => `Read-only. ${why}`),
      ],
      close: async () => {
        stop();
        stopControl();
        const closed = new Promise<void>((resolve) => server.close(() => resolve()));
        for (const { app } of houses.all()) await app.rooms.close();
        documents.close();
        await panel.close();
        await Promise.race([closed, pause(GOING_MS, undefined, { ref: false })]);
        for (const house of houses.all()) await closeHouse(house, log);
        file.close();
      },
    };
  } catch (error) {
    file.close();
    const cause = error instanceof NotKept ? error.cause : error;
    throw unreadable(storeFile(config.dataDirectory), cause);
  }
};
