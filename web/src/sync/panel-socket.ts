import {
  reject,
  type CheckpointMessage,
  type CommandAnswer,
  type CommandMessage,
  type EndedMessage,
  type SlicesMessage,
  type WatchAnswer,
  type WatchMessage,
  type WitnessMessage,
} from '@unhindered/shared-types';
import { io, type Socket } from 'socket.io-client';
import { randomId } from './random-id.ts';

type Ask = CommandMessage extends infer M
  ? M extends CommandMessage
    ? Omit<M, 'id' | 'clientAt'>
    : never
  : never;

/** How long an answer may take before the command is sent again with the same id, milliseconds. */
const ANSWER_MS = 8000;
const ATTEMPTS = 3;
/** Evaluations looked at lately, and as many panels, that are asked for again after a cut; the server tells eight things. */
const WATCHES = 4;

export interface PanelSocketEvents {
  connected: (connected: boolean) => void;
  /** `whole` when these are all slices there are, not only those that changed. */
  slices: (message: SlicesMessage, whole: boolean) => void;
  checkpoint: (message: CheckpointMessage) => void;
  /** Events of an evaluation's log that this device has checked. */
  seen: (evaluation: string) => Promise<number>;
  ended: (message: EndedMessage) => void;
}

/** The panel's socket: commands with an answer after the commit, and pushes for what is watched. */
export class PanelSocket {
  readonly #socket: Socket;
  readonly #watched = new Map<string, WatchMessage>();
  /** Asked and not answered yet: what waits for the first connection is not asked for twice. */
  readonly #asking = new Set<WatchMessage>();
  readonly #events: PanelSocketEvents;

  constructor(events: PanelSocketEvents) {
    this.#events = events;
    this.#socket = io({
      path: '/live',
      transports: ['websocket'],
      reconnectionDelay: 300,
      reconnectionDelayMax: 3000,
    });
    this.#socket.on('connect', () => {
      events.connected(true);
      for (const message of this.#watched.values())
        if (!this.#asking.has(message)) void this.#ask(message);
    });
    this.#socket.on('disconnect', () => events.connected(false));
    this.#socket.on('connect_error', () => events.connected(false));
    this.#socket.on('slices', (message: SlicesMessage) => events.slices(message, false));
    this.#socket.on('checkpoint', events.checkpoint);
    this.#socket.on('ended', events.ended);
  }

  /** Watches a thing; the last few are asked for again by themselves after every reconnect. The first answer is returned. */
  watch(of: string, message: WatchMessage): Promise<WatchAnswer> {
    this.#watched.delete(of);
    this.#watched.set(of, message);
    const panel = of.startsWith('pn_');
    const alike = [...this.#watched.keys()].filter((k) => k.startsWith('pn_') === panel);
    if (alike.length > WATCHES) this.#watched.delete(alike[0] ?? '');
    return this.#ask(message);
  }

  /** One id for all attempts: the command has one effect however often it arrives. */
  async command(ask: Ask): Promise<CommandAnswer> {
    const message = { id: randomId('cm_'), clientAt: new Date().toISOString(), ...ask };
    for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
      try {
        return (await this.#socket
          .timeout(ANSWER_MS)
          .emitWithAck('command', message)) as CommandAnswer;
      } catch {
        // No answer in time: the same command again.
      }
    }
    return {
      ok: false,
      rejection: reject('try-again', 'The server does not answer. Nothing is lost; try again.'),
    };
  }

  /** Tells the server that its log is not believed; sent again by the next alarm if it is lost. */
  report(message: WitnessMessage): void {
    this.#socket.timeout(ANSWER_MS).emit('witness', message, () => undefined);
  }

  close(): void {
    this.#socket.close();
  }

  async #withSeen(message: WatchMessage): Promise<WatchMessage> {
    if (message.on !== 'evaluation') return message;
    return { ...message, seen: await this.#events.seen(message.evaluation) };
  }

  async #ask(message: WatchMessage): Promise<WatchAnswer> {
    this.#asking.add(message);
    try {
      const answer = (await this.#socket
        .timeout(ANSWER_MS)
        .emitWithAck('watch', await this.#withSeen(message))) as WatchAnswer;
      if (answer.ok) {
        const of =
          message.on === 'home'
            ? 'home'
            : message.on === 'panel'
              ? message.panel
              : message.evaluation;
        this.#events.slices({ of, slices: answer.slices }, true);
        if (answer.witness) this.#events.checkpoint({ of, ...answer.witness });
      }
      return answer;
    } catch {
      return { ok: false, rejection: reject('try-again', 'The server does not answer yet.') };
    } finally {
      this.#asking.delete(message);
    }
  }
}

export type { Ask as CommandAsk };
