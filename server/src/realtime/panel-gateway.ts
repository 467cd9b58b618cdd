import type { Server as HttpServer, IncomingMessage } from 'node:http';
import {
  commandMessage,
  reject,
  watchMessage,
  witnessMessage,
  type CommandAnswer,
  type CommandMessage,
  type EndedMessage,
  type RejectionCode,
  type WatchAnswer,
  type WitnessAnswer,
} from '@unhindered/shared-types';
import { Server, type Socket } from 'socket.io';
import * as v from 'valibot';
import { WriteBudget } from '../documents/write-budget.ts';
import type { App } from '../flows/app.ts';
import { runEvaluationCommand } from '../flows/run-evaluation-command.ts';
import { runPanelCommand } from '../flows/run-panel-command.ts';
import { runWorkspaceCommand } from '../flows/run-workspace-command.ts';
import type { House, Houses, Visitor } from '../flows/houses.ts';
import { identityIn } from '../flows/sessions.ts';
import { takeDoubt } from '../flows/witness.ts';
import { misread } from '../http/answers.ts';
import { cookieToken, originAllowed, type HostRule } from '../http/origin.ts';
import { isAttempt, RefusalLog } from '../http/refusal-log.ts';
import type { Log } from '../ports/log.ts';
import { noMeter, type Meter } from '../ports/meter.ts';
import type { Session } from '../ports/store.ts';
import type { Timers } from '../ports/timers.ts';
import type { Publisher } from './publisher.ts';
import { SocketWatches } from './socket-watches.ts';
import type { Watch } from './watches.ts';

/** Sockets of one session; more is a client that lost count. */
const SOCKETS = 24;
/** Messages at once that are still answered with “wait”: past them even the answers would cost the others time. */
const ANSWERED = 500;

/** What a message asks, in the program's own words: the type of a command it knows, else the name of the message. */
const asked = (name: string, input: unknown): string => {
  const parsed = name === 'command' ? v.safeParse(commandMessage, input) : undefined;
  return parsed?.success === true ? parsed.output.command.type : name;
};

const tooFast = reject('too-many-tries', 'Too many messages at once. Wait a moment.');
const unknownThing = reject('unknown-thing', 'There is no such thing for you.');
const signedOut = reject('not-signed-in', 'Your session ended. Sign in or join again.');

/** What serves one organisation over the panel's socket. */
export interface PanelHouse extends House {
  publisher: Publisher;
}

/** What a socket watches, and who tells it; what it may send before it is told to wait, and before it is let go. */
/** Reads the session anew for each message: revoking a seat works at once. */
const freshVisitor = (
  houses: Houses<PanelHouse>,
  request: IncomingMessage,
): Promise<Visitor<PanelHouse> | undefined> =>
  houses.bySession(cookieToken(request.headers.cookie));

const run = async (app: App, session: Session, message: CommandMessage): Promise<CommandAnswer> => {
  if (message.on === 'workspace') return runWorkspaceCommand(app, session, message);
  const panel =
    message.on === 'panel'
      ? message.panel
      : ((await app.logs.evaluationNow(message.evaluation))?.state.created?.panel ?? '');
  const identity = await identityIn(app, session, panel);
  if (!identity) {
    return { ok: false, rejection: unknownThing };
  }
  return message.on === 'panel'
    ? runPanelCommand(app, identity, message)
    : runEvaluationCommand(app, identity, message);
};

/** The panel's socket: commands in with an answer after the commit, slices out. */
export class PanelGateway {
  readonly #houses: Houses<PanelHouse>;
  readonly #timers: Timers;
  readonly #log: Log;
  readonly #meter: Meter;
  readonly #refusals: RefusalLog;
  readonly #io: Server;
  readonly #sockets = new Map<Socket, string>();

  constructor(
    http: HttpServer,
    houses: Houses<PanelHouse>,
    timers: Timers,
    rule: HostRule,
    log: Log,
    meter: Meter = noMeter,
  ) {
    this.#meter = meter;
    this.#houses = houses;
    this.#timers = timers;
    this.#log = log;
    this.#refusals = new RefusalLog(log, timers);
    this.#io = new Server(http, {
      path: '/live',
      transports: ['websocket'],
      serveClient: false,
      maxHttpBufferSize: 64 * 1024,
      connectTimeout: 10_000,
      perMessageDeflate: false,
      destroyUpgrade: false,
      allowRequest: (request, decide) => {
        freshVisitor(houses, request).then(
          (visitor) => {
            const may = originAllowed(request, rule) && this.#mayConnect(visitor?.session);
            if (!may) this.#note(request, 'to connect', 'role-may-not');
            decide(null, may);
          },
          () => decide('unavailable', false),
        );
      },
    });
    this.#io.on('connection', (socket) => {
      this.#greet(socket).catch((error: unknown) => {
        log.error('a socket could not be greeted', error);
        socket.disconnect(true);
      });
    });
  }

  /** Sessions of the sockets that are open. */
  get sessions(): string[] {
    return [...this.#sockets.values()];
  }

  /** Ends the sockets of sessions that are over. */
  end(sessions: readonly string[], why: EndedMessage['why']): void {
    for (const [socket, session] of this.#sockets) {
      if (!sessions.includes(session)) continue;
      socket.emit('ended', { why });
      socket.disconnect(true);
    }
  }

  async close(): Promise<void> {
    await this.#io.close();
  }

  #mayConnect(session: Session | undefined): boolean {
    if (session?.arrival !== 'admitted') return false;
    return this.sessions.filter((id) => id === session.id).length < SOCKETS;
  }

  async #greet(socket: Socket): Promise<void> {
    const watches = new SocketWatches();
    const timers = this.#timers;
    const budget = {
      messages: new WriteBudget(timers),
      refusals: new WriteBudget(timers, ANSWERED),
    };
    socket.on(
      'command',
      this.#guarded(socket, budget, 'command', (input) => this.#command(socket, input)),
    );
    socket.on(
      'watch',
      this.#guarded(socket, budget, 'watch', (input) => this.#watch(socket, watches, input)),
    );
    socket.on(
      'witness',
      this.#guarded(socket, budget, 'witness', (input) => this.#doubt(socket, input)),
    );
    socket.on('disconnect', () => {
      this.#sockets.delete(socket);
      watches.stopAll();
    });
    const visitor = await freshVisitor(this.#houses, socket.request);
    if (!visitor) socket.disconnect(true);
    else if (socket.connected) this.#sockets.set(socket, visitor.session.id);
  }

  /**
   * RT-1: no message can take the process down, and every message with an acknowledgement gets an answer.
   * RT-3: a socket that floods is answered that it must wait, nothing is looked up for it, and it is let go when it goes
   * on. RT-4: a message that asks for no answer is not carried out: its sender could never know what became of it.
   */
  #guarded(
    socket: Socket,
    budget: { messages: WriteBudget; refusals: WriteBudget },
    name: string,
    handle: (input: unknown) => Promise<CommandAnswer | WatchAnswer | WitnessAnswer>,
  ): (...args: unknown[]) => void {
    return (...args) => {
      if (!socket.connected) return;
      const answer = args.at(-1);
      const reply = typeof answer === 'function' ? (answer as (a: unknown) => void) : undefined;
      if (!reply) {
        socket.emit('refused', reject('bad-input', 'Send an acknowledgement function.'));
        return;
      }
      if (!budget.messages.take()) {
        // It comes back by itself: a close that waits for its backlog would never come.
        if (!budget.refusals.take()) return void socket.conn.close(true);
        this.#note(socket.request, name, tooFast.code);
        reply({ ok: false, rejection: tooFast });
        return;
      }
      const start = performance.now();
      const told = (answer: CommandAnswer | WatchAnswer | WitnessAnswer): void => {
        const what = asked(name, args[0]);
        const outcome = answer.ok ? 'done' : answer.rejection.code;
        this.#meter.message(what, outcome, performance.now() - start);
        if (!answer.ok) this.#note(socket.request, what, answer.rejection.code);
        reply(answer);
      };
      handle(args[0])
        .then(told, (error: unknown) => {
          this.#log.error('a message could not be handled', error);
          const message = 'The server could not keep this. Nothing was changed; try again.';
          reply({ ok: false, rejection: reject('try-again', message) });
        })
        .catch((error: unknown) => this.#log.error('a message could not be answered', error));
    };
  }

  #note(request: IncomingMessage, what: string, code: RejectionCode): void {
    if (!isAttempt(code)) return;
    const { cookie } = request.headers;
    this.#refusals.note({ door: 'panel socket', asked: what, code, cookie });
  }

  async #command(socket: Socket, input: unknown): Promise<CommandAnswer> {
    const parsed = v.safeParse(commandMessage, input);
    if (!parsed.success) return { ok: false, rejection: misread(parsed.issues, 'The message') };
    const visitor = await freshVisitor(this.#houses, socket.request);
    if (!visitor) return { ok: false, rejection: signedOut };
    return run(visitor.house.app, visitor.session, parsed.output);
  }

  async #watch(socket: Socket, watches: SocketWatches, input: unknown): Promise<WatchAnswer> {
    const parsed = v.safeParse(watchMessage, input);
    if (!parsed.success) return { ok: false, rejection: misread(parsed.issues, 'The message') };
    const visitor = await freshVisitor(this.#houses, socket.request);
    if (!visitor) return { ok: false, rejection: signedOut };
    const { publisher } = visitor.house;
    const watch = await this.#prepare(socket, visitor, parsed.output);
    if (!watch) return { ok: false, rejection: unknownThing };
    const started = await watches.start(watch, publisher);
    if (!started) return { ok: false, rejection: unknownThing };
    // Disconnected while it was being read: nobody would ever stop it.
    if (!socket.connected) watches.stopAll();
    return { ok: true, ...started };
  }

  /** A device does not believe a log: the operator and the moderator are told. */
  async #doubt(socket: Socket, input: unknown): Promise<WitnessAnswer> {
    const parsed = v.safeParse(witnessMessage, input);
    if (!parsed.success) return { ok: false, rejection: misread(parsed.issues, 'The message') };
    const visitor = await freshVisitor(this.#houses, socket.request);
    if (!visitor) return { ok: false, rejection: signedOut };
    const { app } = visitor.house;
    const live = await app.logs.evaluation(parsed.output.evaluation);
    const panel = live?.state.created?.panel ?? '';
    const identity = await identityIn(app, visitor.session, panel);
    if (!identity) return { ok: false, rejection: unknownThing };
    const taken = takeDoubt(app, identity, parsed.output);
    if (taken) {
      const { evaluation, fault } = parsed.output;
      this.#log.error(`a device does not believe the log of ${evaluation}`, new Error(fault));
    }
    return { ok: true };
  }

  async #prepare(
    socket: Socket,
    { house: { app }, session }: Visitor<PanelHouse>,
    message: v.InferOutput<typeof watchMessage>,
  ): Promise<Watch | undefined> {
    const seen = message.on === 'evaluation' ? (message.seen ?? 0) : 0;
    const shared = { socket, session, told: new Map<string, string>(), note: null, seen };
    if (message.on === 'home') {
      return session.seat === null ? { ...shared, of: 'home', identity: null } : undefined;
    }
    const of = message.on === 'panel' ? message.panel : message.evaluation;
    const panel =
      message.on === 'panel'
        ? message.panel
        : (await app.logs.evaluationNow(message.evaluation))?.state.created?.panel;
    if (panel === undefined || !(await app.logs.panelNow(panel))) return undefined;
    const identity = await identityIn(app, session, panel);
    return identity ? { ...shared, of, identity } : undefined;
  }
}
