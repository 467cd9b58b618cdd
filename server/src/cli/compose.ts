import { createServer, type Server as HttpServer } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import { readFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { jsonLog } from '../adapters/json-log.ts';
import { randomIds } from '../adapters/random-ids.ts';
import { systemTimers } from '../adapters/system-timers.ts';
import { verifierKey, type NoteSigner } from '../audit/signed-note.ts';
import { Rooms } from '../documents/rooms.ts';
import type { App, LiveEvaluation } from '../flows/app.ts';
import { checkStore, type LogFault } from '../flows/check-store.ts';
import { coverLogs } from '../flows/change.ts';
import { commitWrites } from '../flows/commit-writes.ts';
import { leadInvitation } from '../flows/invite.ts';
import { Logs } from '../flows/logs.ts';
import { endOldSessions } from '../flows/sessions.ts';
import { Tickets } from '../flows/tickets.ts';
import { httpApp } from '../http/app.ts';
import type { Log } from '../ports/log.ts';
import type { Store } from '../ports/store.ts';
import { DocumentGateway } from '../realtime/document-gateway.ts';
import { PanelGateway } from '../realtime/panel-gateway.ts';
import { Publisher } from '../realtime/publisher.ts';
import { isLoopback, type Config } from './config.ts';
import { openStore, publishedProtocols } from './open-store.ts';
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
const HTTP_LIMITS = { requestTimeout: 30_000, headersTimeout: 10_000 };

const transportOf = (config: Config): App['transport'] => {
  if (config.tls) return 'tls';
  return isLoopback(config.host) ? 'loopback' : 'plain';
};

const PLAIN_WARNING =
  'Not encrypted: anyone on this network can read ratings before they are opened, take over a session and ' +
  'change what you see. Use a network of your own, or start with --tls-cert and --tls-key.';

const listen = (server: HttpServer, config: Config): Promise<number> =>
  new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(config.port, config.host, () => {
      const address = server.address();
      resolve(typeof address === 'object' && address ? address.port : config.port);
    });
  });

const faultWords = ({ log, seq, what }: LogFault): string =>
  `The store does not match its signatures: log ${log}, event ${String(seq)}: ${what}.`;

/** The parts around one store, wired. */
const assemble = async (config: Config, store: Store, signer: NoteSigner) => {
  const homes = new Map<string, LiveEvaluation>();
  const vkey = verifierKey(signer);
  const faults = await checkStore(store, vkey);
  const app: App = {
    store,
    logs: new Logs(store, vkey, new Set(faults.map((f) => f.log))),
    rooms: new Rooms(store, (batch) => commitWrites(app, homes, batch), systemTimers),
    ids: randomIds,
    timers: systemTimers,
    signer,
    software: SOFTWARE,
    transport: transportOf(config),
    protocols: await publishedProtocols(store),
    names: new Map(),
    readOnly: faults.length === 0 ? null : faults.map(faultWords).join(' '),
    changed: () => undefined,
    ended: () => undefined,
  };
  return { app, homes, tickets: new Tickets(app) };
};

const makeServer = (config: Config): HttpServer =>
  config.tls
    ? createTlsServer({
        ...HTTP_LIMITS,
        cert: readFileSync(config.tls.cert),
        key: readFileSync(config.tls.key),
      })
    : createServer(HTTP_LIMITS);

/** The listeners around an application: pages and JSON, the panel's socket, the documents' sockets. */
const attach = (
  server: HttpServer,
  { app, homes, tickets }: Awaited<ReturnType<typeof assemble>>,
  config: Config,
  webDirectory: string,
  log: Log,
) => {
  const rule = { names: config.names.map((n) => n.toLowerCase()) };
  server.maxConnections = 2000;
  server.on('request', httpApp(app, tickets, rule, webDirectory, log));
  const publisher = new Publisher(app, systemTimers, log);
  const panel = new PanelGateway(server, app, publisher, rule, log);
  const documents = new DocumentGateway(app, tickets, homes, rule, log);
  server.on('upgrade', (request, socket, head) => {
    socket.on('error', () => socket.destroy());
    if (!documents.upgrade(request, socket, head) && !request.url?.startsWith('/live')) {
      socket.end('HTTP/1.1 404 Not Found\r\nConnection: close\r\n\r\n');
    }
  });
  app.changed = (id) => {
    // Who may still look and write follows the stage at once; what is shown is computed after that.
    documents.follow(id);
    publisher.publish(id);
  };
  app.ended = (sessions, why) => {
    panel.end(sessions, why);
    documents.end(sessions);
  };
  return { publisher, panel, documents };
};

/** Work that recurs; returns how to stop it. */
const keepGoing = (app: App, used: () => string[], log: Log): (() => void) => {
  const tick = async (): Promise<void> => {
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

/** A way in for the lead, when one is asked for or nobody has made a panel yet. */
const signInLink = async (app: App, url: string, asked: boolean): Promise<string | null> => {
  if (app.readOnly !== null) return null;
  if (!asked && (await app.store.logs()).length > 0) return null;
  const { invitation, secret } = leadInvitation(app);
  await app.store.commit({ invitations: [invitation] });
  return `${url}/sign-in#${secret}`;
};

const addressOf = (config: Config, port: number): string => {
  const scheme = config.tls ? 'https' : 'http';
  const host = config.host.includes(':') ? `[${config.host}]` : config.host;
  return `${scheme}://${host === '0.0.0.0' ? '127.0.0.1' : host}:${String(port)}`;
};

/** Opens the store and listens. Throws a StoreUnavailable when the store is in use or cannot be trusted. */
export const startServer = async (config: Config, webDirectory: string): Promise<Running> => {
  const log = jsonLog(config.logLevel, process.stderr);
  const server = makeServer(config);
  const { store, signer } = openStore(config.dataDirectory);
  try {
    const parts = await assemble(config, store, signer);
    const { app } = parts;
    const { publisher, panel, documents } = attach(server, parts, config, webDirectory, log);
    const url = addressOf(config, await listen(server, config));
    const used = (): string[] => [...panel.sessions, ...documents.sessions];
    const stop = keepGoing(app, used, log);
    return {
      url,
      signInLink: await signInLink(app, url, config.newSignInLink),
      warnings: [
        ...(app.transport === 'plain' ? [PLAIN_WARNING] : []),
        ...(app.readOnly === null ? [] : [`Read-only. ${app.readOnly}`]),
      ],
      close: async () => {
        stop();
        const closed = new Promise<void>((resolve) => server.close(() => resolve()));
        await app.rooms.close();
        documents.close();
        await panel.close();
        await Promise.race([closed, pause(GOING_MS, undefined, { ref: false })]);
        await publisher.close();
        await coverLogs(app);
        await store.close();
      },
    };
  } catch (error) {
    await store.close();
    throw error;
  }
};
