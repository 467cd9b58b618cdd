import { createServer, type Server as HttpServer } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { verifierKey, type NoteSigner } from '../audit/signed-note.ts';
import { jsonLog } from '../adapters/json-log.ts';
import { openKeys } from '../adapters/key-files.ts';
import { randomIds } from '../adapters/random-ids.ts';
import { sheetBox } from '../adapters/sheet-box.ts';
import { SqliteStore } from '../adapters/sqlite-store.ts';
import { StoreUnavailable } from '../adapters/sqlite-open.ts';
import { systemTimers } from '../adapters/system-timers.ts';
import { Rooms } from '../documents/rooms.ts';
import { protocolKey, type App, type LiveEvaluation, type Published } from '../flows/app.ts';
import { checkStore } from '../flows/check-store.ts';
import { coverLogs } from '../flows/change.ts';
import { commitWrites } from '../flows/commit-writes.ts';
import { leadInvitation } from '../flows/invite.ts';
import { Logs } from '../flows/logs.ts';
import { Tickets } from '../flows/tickets.ts';
import { httpApp } from '../http/app.ts';
import type { Log } from '../ports/log.ts';
import type { Store } from '../ports/store.ts';
import { checkProtocol } from '../protocol/check-protocol.ts';
import defaultProtocol from '../protocol/default-protocol.json' with { type: 'json' };
import { protocolText } from '../protocol/protocol-text.ts';
import { DocumentGateway } from '../realtime/document-gateway.ts';
import { PanelGateway } from '../realtime/panel-gateway.ts';
import { Publisher } from '../realtime/publisher.ts';
import { isLoopback, type Config } from './config.ts';
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

const WORKSPACE = 'ws_local';
const COVER_MS = 30_000;

/** Publishes the protocol that ships with this version, and reads every published one. */
const publishedProtocols = async (store: Store): Promise<Map<string, Published>> => {
  const checked = checkProtocol(JSON.stringify(defaultProtocol));
  if (!checked.ok)
    throw new Error(`the shipped protocol is faulty: ${checked.faults[0]?.fault ?? ''}`);
  const { id, version } = checked.protocol;
  await store.commit({ protocols: [{ id, version, ...protocolText(checked.protocol) }] });
  const published = new Map<string, Published>();
  for (const { text, hash } of await store.protocols()) {
    const read = checkProtocol(text);
    if (!read.ok) throw new Error(`a published protocol is faulty: ${read.faults[0]?.fault ?? ''}`);
    published.set(protocolKey(read.protocol), { protocol: read.protocol, text, hash });
  }
  return published;
};

const transportOf = (config: Config): App['transport'] => {
  if (config.tls) return 'tls';
  return isLoopback(config.host) ? 'loopback' : 'plain';
};

const PLAIN_WARNING =
  'Not encrypted: anyone on this network can read ratings before they are opened, take over a session and ' +
  'change what you see. Use a network of your own, or start with --tls-cert and --tls-key.';

const openStore = (config: Config) => {
  mkdirSync(config.dataDirectory, { recursive: true, mode: 0o700 });
  const file = join(config.dataDirectory, 'unhindered.sqlite');
  const fresh = !existsSync(file);
  const keys = openKeys(config.dataDirectory, !fresh);
  const store = new SqliteStore(file, WORKSPACE, sheetBox(keys.sheets));
  const signer: NoteSigner = { name: 'unhindered.local', seed: keys.signing };
  return { store, signer, fresh };
};

const listen = (server: HttpServer, config: Config): Promise<number> =>
  new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(config.port, config.host, () => {
      const address = server.address();
      resolve(typeof address === 'object' && address ? address.port : config.port);
    });
  });

/** The parts around one store, wired. */
const assemble = async (config: Config, store: Store, signer: NoteSigner, log: Log) => {
  const homes = new Map<string, LiveEvaluation>();
  const vkey = verifierKey(signer);
  const faults = await checkStore(store, vkey);
  const [fault] = faults;
  const app: App = {
    store,
    logs: new Logs(store, vkey),
    rooms: new Rooms(store, (batch) => commitWrites(app, homes, batch), systemTimers),
    ids: randomIds,
    timers: systemTimers,
    signer,
    software: SOFTWARE,
    transport: transportOf(config),
    protocols: await publishedProtocols(store),
    names: new Map(),
    readOnly: fault
      ? `The store does not match its signatures: log ${fault.log}, event ${String(fault.seq)}: ${fault.what}.`
      : null,
    changed: () => undefined,
    ended: () => undefined,
  };
  return { app, homes, tickets: new Tickets(app), log };
};

const makeServer = (config: Config): HttpServer =>
  config.tls
    ? createTlsServer({ cert: readFileSync(config.tls.cert), key: readFileSync(config.tls.key) })
    : createServer({ requestTimeout: 30_000, headersTimeout: 10_000 });

/** Opens the store and listens. Throws a StoreUnavailable when the store is in use or cannot be trusted. */
export const startServer = async (config: Config, webDirectory: string): Promise<Running> => {
  const log = jsonLog(config.logLevel, process.stderr);
  const { store, signer, fresh } = openStore(config);
  const { app, homes, tickets } = await assemble(config, store, signer, log);
  const rule = { names: config.names.map((n) => n.toLowerCase()) };
  const server = makeServer(config);
  server.maxConnections = 2000;
  server.on('request', httpApp(app, tickets, rule, webDirectory, log));
  const publisher = new Publisher(app, systemTimers);
  const panel = new PanelGateway(server, app, publisher, rule, log);
  const documents = new DocumentGateway(app, tickets, homes, rule, log);
  server.on('upgrade', (request, socket, head) => {
    if (!documents.upgrade(request, socket, head) && !request.url?.startsWith('/live')) {
      socket.end('HTTP/1.1 404 Not Found\r\nConnection: close\r\n\r\n');
    }
  });
  app.changed = (id) => publisher.publish(id);
  publisher.afterwards = (id) => documents.follow(id);
  app.ended = (sessions, why) => {
    panel.end(sessions, why);
    documents.end(sessions);
  };
  const port = await listen(server, config);
  const cover = setInterval(() => {
    coverLogs(app).catch((error: unknown) => log.error('a checkpoint could not be signed', error));
  }, COVER_MS);
  cover.unref();
  const scheme = config.tls ? 'https' : 'http';
  const host = config.host.includes(':') ? `[${config.host}]` : config.host;
  const url = `${scheme}://${host === '0.0.0.0' ? '127.0.0.1' : host}:${String(port)}`;
  return {
    url,
    signInLink: await signInLink(app, url, fresh || config.newSignInLink),
    warnings: [
      ...(app.transport === 'plain' ? [PLAIN_WARNING] : []),
      ...(app.readOnly === null ? [] : [`Read-only: ${app.readOnly}`]),
    ],
    close: async () => {
      clearInterval(cover);
      await app.rooms.close();
      documents.close();
      await panel.close();
      await publisher.settled();
      await coverLogs(app);
      await store.close();
    },
  };
};

const signInLink = async (app: App, url: string, wanted: boolean): Promise<string | null> => {
  if (!wanted || app.readOnly !== null) return null;
  const { invitation, secret } = leadInvitation(app);
  await app.store.commit({ invitations: [invitation] });
  return `${url}/sign-in#${secret}`;
};

export { StoreUnavailable };
