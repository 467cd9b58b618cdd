import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { WebSocketServer, type WebSocket } from 'ws';
import type { RoomConnection } from '../documents/room-connection.ts';
import type { LiveEvaluation } from '../flows/app.ts';
import type { House, Houses } from '../flows/houses.ts';
import { openDocument, type OpenedDocument } from '../flows/open-document.ts';
import { identityIn } from '../flows/sessions.ts';
import { lastWords } from '../http/last-words.ts';
import { cookieToken, originAllowed, type HostRule } from '../http/origin.ts';
import { RefusalLog } from '../http/refusal-log.ts';
import type { Log } from '../ports/log.ts';
import type { Timers } from '../ports/timers.ts';
import { CLOSE } from '../wire/close-codes.ts';
import { Outbox } from './outbox.ts';

const PATH = /^\/sync\/(dc_[A-Za-z0-9_-]{22})$/u;
/** The stock client gives up after 30 s without a frame. */
const KEEP_ALIVE_MS = 20_000;
/** How long a client whose frames are faulty has to take its leave. */
const LEAVE_MS = 2000;
/** Frames that may come before the ticket is checked, and sockets of one session. */
const EARLY = 16;
const SOCKETS = 24;

/** Path and query of a request; undefined when its target is no address at all. */
const targetOf = (request: IncomingMessage): URL | undefined => {
  try {
    return new URL(request.url ?? '/', 'http://local');
  } catch {
    return undefined;
  }
};

/** What serves one organisation over the documents' sockets. */
export interface DocumentHouse extends House {
  homes: Map<string, LiveEvaluation>;
}

interface Admitted {
  house: DocumentHouse;
  connection: RoomConnection;
  outbox: Outbox;
  session: string;
  opened: OpenedDocument;
  /** It has answered since the last ping. */
  alive: boolean;
}

/** The document socket: the y-websocket protocol over tickets, one room per document. */
export class DocumentGateway {
  readonly #houses: Houses<DocumentHouse>;
  readonly #rule: HostRule;
  readonly #log: Log;
  readonly #refusals: RefusalLog;
  readonly #server = new WebSocketServer({
    noServer: true,
    maxPayload: 256 * 1024,
    perMessageDeflate: false,
  });
  readonly #admitted = new Map<WebSocket, Admitted>();
  readonly #keepAlive: NodeJS.Timeout;

  constructor(houses: Houses<DocumentHouse>, timers: Timers, rule: HostRule, log: Log) {
    this.#houses = houses;
    this.#rule = rule;
    this.#log = log;
    this.#refusals = new RefusalLog(log, timers);
    this.#keepAlive = setInterval(() => this.#beat(), KEEP_ALIVE_MS);
    this.#keepAlive.unref();
  }

  /** Sessions of the sockets that are open. */
  get sessions(): string[] {
    return [...this.#admitted.values()].map((a) => a.session);
  }

  /** Takes an upgrade that is for a document; false when it is for somebody else. */
  upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): boolean {
    const url = targetOf(request);
    if (!url?.pathname.startsWith('/sync/')) return false;
    if (!originAllowed(request, this.#rule)) {
      this.#note(request, 'to open from another site');
      lastWords(socket, 'HTTP/1.1 403 Forbidden\r\nConnection: close\r\n\r\n');
      return true;
    }
    // A refused upgrade looks like a passing fault to a browser: accept, then close with a code it understands.
    this.#server.handleUpgrade(request, socket, head, (ws) => {
      const document = PATH.exec(url.pathname)?.[1];
      const early: Buffer[] = [];
      const hold = (data: Buffer): void => {
        if (early.push(data) > EARLY) ws.terminate();
      };
      ws.on('message', hold);
      // The library has sent a close frame that says why (1007, 1009): give it time to arrive.
      ws.on('error', () => setTimeout(() => ws.terminate(), LEAVE_MS).unref());
      this.#admit(ws, request, document, url.searchParams.get('ticket')).then(
        (admitted) => {
          ws.off('message', hold);
          if (admitted) this.#start(ws, admitted, early);
        },
        (error: unknown) => {
          this.#log.error('a document could not be opened', error);
          ws.close(CLOSE.tryAgain, 'the document could not be opened');
        },
      );
    });
    return true;
  }

  /** Follows the stage of an evaluation: who may no longer look is let go, who may no longer write reads. */
  follow(log: string): void {
    for (const { connection, opened, outbox } of this.#admitted.values()) {
      if (opened.live.id !== log) continue;
      const mode = opened.mode(connection.seat);
      if (mode === 'none') outbox.close(CLOSE.gone, 'no such document');
      else connection.mode = mode;
    }
  }

  /** Ends the sockets of sessions that are over. */
  end(sessions: readonly string[]): void {
    for (const { session, outbox } of this.#admitted.values()) {
      if (sessions.includes(session)) outbox.close(CLOSE.unauthenticated, 'the session is over');
    }
  }

  close(): void {
    clearInterval(this.#keepAlive);
    for (const { outbox } of this.#admitted.values()) outbox.flush();
    for (const ws of this.#server.clients) ws.close(CLOSE.goingAway, 'the server is going away');
    this.#server.close();
  }

  /** A frame for the stock client's watchdog; who did not answer the last ping is gone. */
  #beat(): void {
    for (const { app } of this.#houses.all()) app.rooms.keepAlive();
    for (const [ws, admitted] of this.#admitted) {
      if (!admitted.alive) ws.terminate();
      admitted.alive = false;
      ws.ping();
    }
  }

  #note(request: IncomingMessage, asked: string): void {
    const { cookie } = request.headers;
    this.#refusals.note({ door: 'document socket', asked, code: 'refused', cookie });
  }

  async #admit(
    ws: WebSocket,
    request: IncomingMessage,
    document: string | undefined,
    ticket: string | null,
  ): Promise<Admitted | undefined> {
    const visitor = await this.#houses.bySession(cookieToken(request.headers.cookie));
    const { house, session } = visitor ?? {};
    const panel =
      ticket === null ? undefined : await house?.tickets.use(ticket, session?.id, document);
    const identity =
      house && session && panel && (await identityIn(house.app, session, panel.panel));
    if (!house || !session || !panel || !identity || document === undefined) {
      this.#note(request, 'to open without a good ticket');
      ws.close(CLOSE.unauthenticated, 'get a new ticket');
      return undefined;
    }
    if (this.sessions.filter((id) => id === session.id).length >= SOCKETS) {
      ws.close(CLOSE.tooFast, 'too many documents are open at once');
      return undefined;
    }
    const live = await house.app.logs.evaluationNow(panel.evaluation);
    const opened =
      live && (await openDocument(house.app, live, document, identity.seat, house.homes));
    const mode = opened?.mode(identity.seat);
    if (!opened || mode === undefined || mode === 'none') {
      this.#note(request, 'to open what is not theirs');
      ws.close(CLOSE.gone, 'no such document');
      return undefined;
    }
    const outbox = new Outbox(ws, request.socket);
    const connection: RoomConnection = {
      seat: identity.seat,
      device: identity.device,
      mode,
      send: (bytes) => outbox.send(bytes),
      close: (code, reason) => {
        if (code === CLOSE.refused) this.#note(request, `to write: ${reason}`);
        outbox.close(code, reason);
      },
      buffered: () => outbox.buffered(),
    };
    return { house, connection, outbox, session: session.id, opened, alive: true };
  }

  #start(ws: WebSocket, admitted: Admitted, early: readonly Buffer[]): void {
    const { connection, opened, house } = admitted;
    if (ws.readyState !== ws.OPEN) return;
    this.#admitted.set(ws, admitted);
    ws.on('pong', () => {
      admitted.alive = true;
    });
    ws.on('message', (data: Buffer) => opened.room.receive(connection, data));
    ws.on('close', () => {
      this.#admitted.delete(ws);
      opened.room.leave(connection);
      house.app.rooms.left(opened.room.id);
    });
    opened.room.join(connection);
    for (const data of early) opened.room.receive(connection, data);
  }
}
