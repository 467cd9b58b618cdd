import { readFileSync } from 'node:fs';
import { createServer, type Server as HttpServer } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import type { Duplex } from 'node:stream';
import { reject } from '@unhindered/shared-types';
import { systemTimers } from '../adapters/system-timers.ts';
import { whyReadOnly, type App, type LiveEvaluation } from '../flows/app.ts';
import { record } from '../flows/system-log.ts';
import type { Houses } from '../flows/houses.ts';
import type { Tickets } from '../flows/tickets.ts';
import { httpApp, type Service } from '../http/app.ts';
import { lastWords } from '../http/last-words.ts';
import type { CodeDoor } from '../ports/code-door.ts';
import type { Log } from '../ports/log.ts';
import { DocumentGateway } from '../realtime/document-gateway.ts';
import { PanelGateway } from '../realtime/panel-gateway.ts';
import type { Publisher } from '../realtime/publisher.ts';
import type { Config } from './config.ts';

/**
 * RT-5: whoever says nothing is let go after ten seconds: no request, no TLS handshake, no greeting on a socket. The
 * clock of it is looked at every second, not every half minute as by default.
 */
const HTTP_LIMITS = {
  requestTimeout: 30_000,
  headersTimeout: 10_000,
  connectionsCheckingInterval: 1000,
};
const HANDSHAKE_MS = 10_000;
/** Connections at once: in all, and of one address, behind which a whole panel may sit. */
const CONNECTIONS = 4000;
const OF_ONE_ADDRESS = 1000;

/** RT-9: who hoards connections shuts nobody out but their own address. Behind a proxy all have one, and it must see to it. */
const limitByAddress = (server: HttpServer): void => {
  const open = new Map<string, number>();
  server.on('connection', (socket) => {
    const { remoteAddress: from = '' } = socket;
    const count = (open.get(from) ?? 0) + 1;
    if (count > OF_ONE_ADDRESS) {
      socket.destroy();
      return;
    }
    open.set(from, count);
    socket.once('close', () => {
      const left = (open.get(from) ?? 1) - 1;
      if (left > 0) open.set(from, left);
      else open.delete(from);
    });
  });
};

/** The application of one organisation, and what its listeners share. */
export interface Parts {
  app: App;
  homes: Map<string, LiveEvaluation>;
  tickets: Tickets;
  publisher: Publisher;
}

/** A server that does not listen yet. Throws when certificate or key cannot be read. */
export const makeServer = (config: Config): HttpServer =>
  config.tls
    ? createTlsServer({
        ...HTTP_LIMITS,
        handshakeTimeout: HANDSHAKE_MS,
        cert: readFileSync(config.tls.cert),
        key: readFileSync(config.tls.key),
      })
    : createServer(HTTP_LIMITS);

/** Listens; resolves with the port. Rejects when the address cannot be had. */
export const listen = (server: HttpServer, config: Config): Promise<number> =>
  new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(config.port, config.host, () => {
      const address = server.address();
      resolve(typeof address === 'object' && address ? address.port : config.port);
    });
  });

/** The address that people on this machine type. */
export const addressOf = (config: Config, port: number): string => {
  const scheme = config.tls ? 'https' : 'http';
  const host = config.host.includes(':') ? `[${config.host}]` : config.host;
  return `${scheme}://${host === '0.0.0.0' ? '127.0.0.1' : host}:${String(port)}`;
};

const WORDS: Record<string, [status: string, words: string]> = {
  HPE_HEADER_OVERFLOW: ['431 Request Header Fields Too Large', 'The headers are too long.'],
  ERR_HTTP_REQUEST_TIMEOUT: ['408 Request Timeout', 'The request did not come in time.'],
};

/** What is no request of this protocol gets an answer in the form of every other error, and the line is cut. */
const unreadable = (error: NodeJS.ErrnoException, socket: Duplex): void => {
  if (error.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const bad: [string, string] = ['400 Bad Request', 'The request cannot be read.'];
  const [status, words] = WORDS[error.code ?? ''] ?? bad;
  const body = JSON.stringify({ error: reject('bad-input', words) });
  lastWords(
    socket,
    `HTTP/1.1 ${status}\r\nConnection: close\r\nContent-Type: application/json\r\n` +
      `Content-Length: ${String(Buffer.byteLength(body))}\r\n\r\n${body}`,
  );
};

/** The listeners of one server, whichever organisations it serves. */
export interface Listeners {
  panel: PanelGateway;
  documents: DocumentGateway;
}

/** The listeners around all organisations: pages and JSON, the panel's socket, the documents' sockets. */
export const attach = (
  server: HttpServer,
  first: Parts,
  houses: Houses<Parts>,
  config: Config,
  webDirectory: string,
  service: Service,
  log: Log,
): Listeners => {
  const rule = { names: config.names.map((n) => n.toLowerCase()) };
  server.maxConnections = CONNECTIONS;
  if (!config.proxy) limitByAddress(server);
  server.on('clientError', unreadable);
  server.on('request', httpApp(first.app, first.tickets, rule, webDirectory, log, houses, service));
  const panel = new PanelGateway(server, houses, systemTimers, rule, log, service.meter);
  const documents = new DocumentGateway(houses, systemTimers, rule, log);
  server.on('upgrade', (request, socket, head) => {
    socket.on('error', () => socket.destroy());
    // RT-8: what no listener takes is answered: past this point no clock of the HTTP server ends a silent connection.
    if (!documents.upgrade(request, socket, head) && !request.url?.startsWith('/live/')) {
      lastWords(socket, 'HTTP/1.1 404 Not Found\r\nConnection: close\r\n\r\n');
    }
  });
  return { panel, documents };
};

/** Closed codes stand in the log of every organisation: the door is the same. */
const recordClosing = async ({ app }: Parts): Promise<void> => {
  const closing = app.codes.closing();
  if (!app.system || !closing || whyReadOnly(app) !== null) return;
  const data = { sources: closing.sources, everybody: closing.everybodyUntil !== null };
  await record(app, app.system, [{ type: 'codes-closed', data }]);
};

/** Tells the operator, the moderators and the logs when typed codes are closed. */
export const followCodes = (houses: Houses<Parts>, codes: CodeDoor, log: Log): void => {
  codes.closed = () => {
    log.error('typed codes are closed', new Error('too many wrong codes were tried'));
    for (const house of houses.all()) {
      house.publisher.publishPanels();
      recordClosing(house).catch((error: unknown) =>
        log.error('closed codes are not on record', error),
      );
    }
  };
};

/** Lets what happens in one organisation reach those who look at it. */
export const follow = ({ app, publisher }: Parts, { panel, documents }: Listeners): void => {
  app.changed = (id) => {
    // Who may still look and write follows the stage at once; what is shown is computed after that.
    documents.follow(id);
    publisher.publish(id);
  };
  app.insights.ready = (id) => publisher.publish(id);
  // Its thread would take the processor from what a whole panel waits for: first everybody is told.
  app.insights.after = (id) => publisher.told(id);
  app.ended = (sessions, why) => {
    panel.end(sessions, why);
    documents.end(sessions);
  };
};
