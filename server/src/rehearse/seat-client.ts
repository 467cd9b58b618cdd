import { randomBytes } from 'node:crypto';
import {
  isSyncWrite,
  mergeSlices,
  SAVED_FRAME,
  SHEET_ROOT,
  sheetKey,
  type CommandAnswer,
  type CommandMessage,
  type CommandResult,
  type EndedMessage,
  type EvaluationCommand,
  type EvaluationView,
  type PanelCommand,
  type SheetField,
  type SlicesMessage,
  type WatchAnswer,
} from '@unhindered/shared-types';
import * as decoding from 'lib0/decoding';
import { io, type Socket } from 'socket.io-client';
import { WebSocket } from 'ws';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';

/** A command without what the client adds to it. */
type Ask<M extends CommandMessage = CommandMessage> = M extends CommandMessage
  ? Omit<M, 'id' | 'clientAt'>
  : never;

const commandId = (): string => `cm_${randomBytes(16).toString('base64url')}`;

/** A sheet opened over the real document socket, with its count of kept writes. */
export interface OpenSheet {
  doc: Y.Doc;
  provider: WebsocketProvider;
  set(task: string, fields: Partial<Record<SheetField, unknown>>): void;
  /** Resolves when everything written so far is on the server's disk. */
  saved(): Promise<void>;
  /** Connects again after `provider.disconnect()`, with a fresh ticket. */
  reconnect(): Promise<void>;
  close(): void;
}

/** How long an answer is waited for before it is asked for again, and how often, as the pages do. */
const ANSWER_MS = 10_000;
const TRIES = 6;
/** How long after a failed try another ticket is asked for. */
const AGAIN_MS = 300;

/** One person at one device, without a screen: the same HTTP calls and sockets that the pages use. */
export class SeatClient {
  readonly url: string;
  readonly cookie: string;
  readonly #socket: Socket;
  view: Partial<EvaluationView> = {};
  /** Why the server ended this session; null while it goes on. */
  ended: string | null = null;
  #wakers: (() => void)[] = [];

  constructor(url: string, cookie: string) {
    this.url = url;
    this.cookie = cookie;
    this.#socket = io(url, {
      path: '/live',
      transports: ['websocket'],
      extraHeaders: { cookie },
      reconnectionDelay: 100,
      forceNew: true,
    });
    this.#socket.on('slices', (message: SlicesMessage) => {
      if (message.of === this.view.head?.evaluation) {
        this.view = mergeSlices(this.view, message.slices);
      }
      this.#wake();
    });
    this.#socket.on('ended', ({ why }: EndedMessage) => {
      this.ended = why;
    });
  }

  /** Posts to the JSON interface; returns body and session cookie. Throws with the server's words. */
  static async post(
    url: string,
    path: string,
    body: unknown,
    cookie = '',
  ): Promise<{ body: Record<string, unknown>; cookie: string }> {
    const response = await fetch(`${url}/api${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie },
      body: JSON.stringify(body),
    });
    const answer = (await response.json()) as Record<string, unknown>;
    if (!response.ok) {
      const error = answer['error'] as { code: string; message: string } | undefined;
      throw new Error(`${path}: ${error?.code ?? String(response.status)} ${error?.message ?? ''}`);
    }
    const set = response.headers.getSetCookie()[0]?.split(';')[0] ?? '';
    return { body: answer, cookie: set };
  }

  /** Takes a seat with the secret of an invitation. */
  static async join(url: string, secret: string, name: string): Promise<SeatClient> {
    const { cookie } = await SeatClient.post(url, '/invitations/use', { key: { secret }, name });
    return new SeatClient(url, cookie);
  }

  /** Signs in as the lead with the one-time link. */
  static async signIn(url: string, link: string): Promise<SeatClient> {
    const secret = new URL(link).hash.slice(1);
    const { cookie } = await SeatClient.post(url, '/sign-in', { secret });
    return new SeatClient(url, cookie);
  }

  async send(message: Ask): Promise<CommandAnswer> {
    const full = { id: commandId(), clientAt: new Date().toISOString(), ...message };
    return this.#asked(full);
  }

  /** Asks again, under the same id, when the line was cut before the answer: the command has one effect. */
  async #asked(full: object): Promise<CommandAnswer> {
    for (let tries = 1; ; tries++) {
      try {
        return (await this.#socket
          .timeout(ANSWER_MS)
          .emitWithAck('command', full)) as CommandAnswer;
      } catch (error) {
        if (tries === TRIES) throw error;
      }
    }
  }

  /** Sends a command and throws when it is refused. */
  async must(message: Ask): Promise<CommandResult | undefined> {
    const answer = await this.send(message);
    if (!answer.ok) {
      const { code, message: words } = answer.rejection;
      throw new Error(`${message.on}: ${code} ${words}`);
    }
    return answer.result;
  }

  onPanel(panel: string, command: PanelCommand): Promise<CommandResult | undefined> {
    return this.must({ on: 'panel', panel, command });
  }

  onEvaluation(command: EvaluationCommand): Promise<CommandResult | undefined> {
    const evaluation = this.view.head?.evaluation ?? '';
    return this.must({ on: 'evaluation', evaluation, command });
  }

  /** Looks at an evaluation; its view then follows by itself. */
  async watch(evaluation: string, tries = TRIES): Promise<void> {
    const message = { on: 'evaluation', evaluation };
    const answer = (await this.#socket.emitWithAck('watch', message)) as WatchAnswer;
    // Somebody without a screen may be quicker than a socket may ask.
    if (!answer.ok && answer.rejection.code === 'too-many-tries' && tries > 1) {
      await new Promise((resolve) => setTimeout(resolve, 500));
      return this.watch(evaluation, tries - 1);
    }
    if (!answer.ok) throw new Error(`watch: ${answer.rejection.message}`);
    this.view = mergeSlices({}, answer.slices);
    this.#wake();
  }

  /** Resolves when the view fits; rejects after `ms`. */
  async until(
    what: string,
    fits: (view: Partial<EvaluationView>) => boolean,
    ms = 15_000,
  ): Promise<void> {
    const end = Date.now() + ms;
    while (!fits(this.view)) {
      const left = end - Date.now();
      if (left <= 0) throw new Error(`waited too long: ${what}`);
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, left);
        this.#wakers.push(() => {
          clearTimeout(timer);
          resolve();
        });
      });
    }
  }

  /** Opens the sheet of a round over the document socket. */
  async openSheet(round: number): Promise<OpenSheet> {
    const sheet = this.view.me?.sheets.find((s) => s.round === round);
    if (!sheet) throw new Error(`no sheet in round ${String(round)}`);
    return this.openDocument(sheet.document);
  }

  async openDocument(document: string): Promise<OpenSheet> {
    const { cookie } = this;
    const counts = { sent: 0, saved: 0 };
    class CountingSocket extends WebSocket {
      constructor(address: string) {
        super(address, { headers: { cookie } });
        counts.sent = 0;
        counts.saved = 0;
      }
      override send(data: Uint8Array): void {
        if (isSyncWrite(data)) counts.sent++;
        super.send(data);
      }
    }
    const doc = new Y.Doc();
    const provider = new WebsocketProvider(
      `${this.url.replace(/^http/u, 'ws')}/sync`,
      document,
      doc,
      {
        WebSocketPolyfill: CountingSocket as unknown as typeof globalThis.WebSocket,
        disableBc: true,
        connect: false,
      },
    );
    const waiting: (() => void)[] = [];
    provider.messageHandlers[SAVED_FRAME] = (_encoder, decoder) => {
      counts.saved = decoding.readVarUint(decoder);
      for (const wake of waiting.splice(0)) wake();
    };
    const connect = async (): Promise<void> => {
      provider.params = { ticket: await this.#ticket(document) };
      provider.connect();
    };
    let closed = false;
    // While no server gives a ticket, it is asked for again: otherwise the document stayed away for good.
    const again = (): void => {
      if (closed || this.ended !== null) return;
      connect().catch(() => setTimeout(again, AGAIN_MS));
    };
    provider.on('closed', ({ code }: { code: number }) => {
      if (code === 4401) again();
    });
    await connect();
    const map = doc.getMap(SHEET_ROOT);
    return {
      doc,
      provider,
      reconnect: connect,
      set: (task, fields) => {
        doc.transact(() => {
          for (const [field, value] of Object.entries(fields)) {
            map.set(sheetKey(task, field as SheetField), value);
          }
        });
      },
      saved: async () => {
        while (!provider.synced || counts.saved < counts.sent) {
          await new Promise<void>((resolve) => {
            waiting.push(resolve);
            setTimeout(resolve, 20);
          });
        }
      },
      close: () => {
        closed = true;
        try {
          provider.destroy();
        } catch {
          // The stock provider throws here when Yjs gave the document a new client id; it is closed all the same.
        }
        // With it goes the awareness, whose clock would keep a program alive that is done.
        doc.destroy();
      },
    };
  }

  close(): void {
    this.#socket.close();
  }

  async #ticket(document: string): Promise<string> {
    const evaluation = this.view.head?.evaluation;
    const { body } = await SeatClient.post(
      this.url,
      '/tickets',
      { evaluation, document },
      this.cookie,
    );
    return String(body['ticket']);
  }

  #wake(): void {
    for (const wake of this.#wakers.splice(0)) wake();
  }
}
