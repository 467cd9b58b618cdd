import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { diskMedia } from '../adapters/disk-media.ts';
import { jsonLog } from '../adapters/json-log.ts';
import { randomIds } from '../adapters/random-ids.ts';
import { coverLogs } from '../flows/change.ts';
import { severalHouses } from '../flows/houses.ts';
import { letGo } from '../flows/let-go.ts';
import { leadInvitation } from '../flows/invite.ts';
import { endOldSessions } from '../flows/sessions.ts';
import { UnderWay } from '../flows/under-way.ts';
import { CodeLimits } from '../http/code-limits.ts';
import { whyReadOnly, type App } from '../flows/app.ts';
import type { Log } from '../ports/log.ts';
import { isLoopback, type Config } from './config.ts';
import { controlPath, listenControl, type ControlWork } from './control.ts';
import { closeHouse, lookAtClock } from './house.ts';
import {
  addressOf,
  attach,
  followCodes,
  listen,
  makeServer,
  type Listeners,
  type Parts,
} from './listeners.ts';
import type { Home } from './home.ts';
import { openHome } from './open-home.ts';
import { Operator } from './operator.ts';
import { FIRST_WORKSPACE } from './open-store.ts';
import { OpenHouses } from './open-houses.ts';

/** A server that is listening. */
export interface Running {
  url: string;
  /** The lead's one-time way in, when one was made. */
  signInLink: string | null;
  /** Words for the person who started it: what is not protected, what is wrong. */
  warnings: string[];
  /** Where the operator's figures are; null when they are served nowhere. */
  metrics: string | null;
  /** Takes its leave: load balancers get their time to look elsewhere unless `hurry` resolves, then it closes. */
  close(hurry?: Promise<void>): Promise<void>;
}

/** Checkpoints over what no milestone covered, and ending what is over by the clock, this often. */
const TICK_MS = 30_000;
/** How long clients get to take their leave. */
const GOING_MS = 1500;

const transportOf = (config: Config): App['transport'] => {
  if (config.tls) return 'tls';
  // Between the proxy and here nobody else is on the line.
  if (config.proxy) return 'loopback';
  return isLoopback(config.host) ? 'loopback' : 'plain';
};

const PLAIN_WARNING =
  'Not encrypted: anyone on this network can read ratings before they are opened, take over a session and ' +
  'change what you see. Use a network of your own, or start with --tls-cert and --tls-key.';

const NOT_DONE = 'recurring work could not be done';

/** Work that recurs, of every organisation. */
const keepGoing = (houses: () => Parts[], used: () => string[], work: UnderWay, log: Log): void => {
  const tick = async ({ app, homes, publisher }: Parts): Promise<void> => {
    await lookAtClock(app, log);
    await coverLogs(app);
    await letGo(app, { homes, watched: publisher.watched });
    const over = await endOldSessions(app, used());
    if (over.length > 0) app.ended(over, 'expired');
  };
  // One that fails keeps no other from its own.
  work.every(TICK_MS, NOT_DONE, () => {
    for (const house of houses()) work.begin(NOT_DONE, () => tick(house));
    return Promise.resolve();
  });
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

/** What this server does when somebody on the same machine asks. */
const controlWork = (home: Home, open: OpenHouses, url: string): ControlWork => {
  const { workspaces } = home;
  return {
    backup: async (to) => {
      await home.copyTo(to);
      return { events: await eventsIn(open.all()) };
    },
    workspaces: async () => ({ workspaces: await workspaces.all() }),
    addWorkspace: async (name) => {
      const id = randomIds.id('ws');
      await workspaces.add({ id, name }, new Date().toISOString());
      return { link: await newLink((await open.open(id)).app, url) };
    },
    linkWorkspace: async (name) => {
      const known = (await workspaces.all()).find((w) => w.name === name);
      if (!known) throw new Error(`there is no workspace "${name}"`);
      return { link: await newLink((await open.open(known.id)).app, url) };
    },
  };
};

/** What the operator's figures say is there. */
const standing =
  (home: Home, open: OpenHouses, { panel, documents }: Listeners): Operator['look'] =>
  () => {
    const apps = open.all().map(({ app }) => app);
    return {
      workspaces: apps.length,
      readOnly: apps.filter((app) => whyReadOnly(app) !== null).length,
      trouble: apps.some((app) => app.store.trouble() !== null),
      panelSockets: panel.sessions.length,
      documentSockets: documents.sessions.length,
      documents: apps.reduce((sum, app) => sum + app.rooms.size, 0),
      bus: home.shared && home.bus.connected(),
    };
  };

/** Opens the store and listens. Throws a StoreUnavailable when the store is in use or cannot be trusted. */
export const startServer = async (config: Config, webDirectory: string): Promise<Running> => {
  const log = jsonLog(config.logLevel, process.stderr);
  const server = makeServer(config);
  const operator = new Operator(config);
  const home = await openHome(config, log);
  operator.reached = home.reached;
  try {
    const codes = new CodeLimits();
    const { proxy: proxied } = config;
    const { signer, shared } = home;
    const media = diskMedia(join(config.dataDirectory, 'media'), config.media);
    await media.tidy(Date.now());
    const transport = transportOf(config);
    const { meter } = operator;
    const common = { shared, signer, transport, proxied, codes, media, log, meter };
    const open = new OpenHouses(home, common);
    await open.openAll();
    const first = await open.open(FIRST_WORKSPACE);
    const houses = severalHouses(
      home.workspaces,
      (id) => open.find(id),
      first,
      () => open.all(),
    );
    const listeners = attach(server, first, houses, config, webDirectory, operator, log);
    operator.look = standing(home, open, listeners);
    followCodes(houses, codes, log);
    await open.join(listeners);
    const url = addressOf(config, await listen(server, config));
    const { panel, documents } = listeners;
    const used = (): string[] => [...panel.sessions, ...documents.sessions];
    const work = new UnderWay(log);
    keepGoing(() => houses.all(), used, work, log);
    const stopControl = await control(config, controlWork(home, open, url), log);
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
      metrics: await operator.listen(),
      close: async (hurry = new Promise<never>(() => undefined)) => {
        await operator.leave(hurry);
        await Promise.all([work.end(GOING_MS), open.stop(GOING_MS)]);
        stopControl();
        const closed = new Promise<void>((resolve) => server.close(() => resolve()));
        for (const { app } of houses.all()) await app.rooms.close();
        documents.close();
        await panel.close();
        await Promise.race([closed, pause(GOING_MS, undefined, { ref: false })]);
        for (const house of houses.all()) await closeHouse(house, log);
        await home.close();
        operator.close();
      },
    };
  } catch (error) {
    operator.close();
    await home.close();
    throw home.blame(error);
  }
};
